#pragma once
// The time stamps of a book and the ends they speak of.

#include <vector>

#include "edge/book/verify.hpp"

namespace strandbook {

struct StampsFound {
  std::vector<StampFound> stamps;
  std::vector<Head> ends;  ///< of all of them: each must stand in the book
};

/// Fails at the first stamp that does not hold.
Result<StampsFound> check_stamps(const Store& store, const std::string& trusted_roots);

}  // namespace strandbook
