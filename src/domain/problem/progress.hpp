#pragma once
// How long work tells how far it is, and learns that it is no longer wanted.

#include <functional>
#include <string>

#include "domain/problem/problem.hpp"

namespace strandbook {

/// Told how far long work is, 0 to 1; returns false where the person cancelled it. May be empty.
using Progress = std::function<bool(double)>;

/// What cancelled work on a file ends with: the file is as it was before.
inline Problem cancelled(const std::string& path) {
  return {{path, {}, 0, {}}, "the work was cancelled", "", "Nothing was written."};
}

}  // namespace strandbook
