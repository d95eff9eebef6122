#pragma once
// The whole content of a file a person named, or why it cannot be had.

#include <string>

#include "domain/problem/problem.hpp"

namespace strandbook {

/// A missing, unreadable or special file is a Problem; so is one that another program wrote meanwhile, since
/// half of an old table and half of a new one is worse than none.
Result<std::string> read_file_bytes(const std::string& path);

}  // namespace strandbook
