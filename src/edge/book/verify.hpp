#pragma once
// Whether a book still says what was once written into it.

#include <cstddef>
#include <optional>

#include "edge/book/store.hpp"

namespace strandbook {

struct Verification {
  std::size_t facts = 0;    ///< found in order before the first bad one
  std::size_t files = 0;    ///< likewise
  std::size_t devices = 0;  ///< chains looked at
  std::optional<Uuid> bad_fact;
  std::optional<Problem> bad;  ///< what is wrong first; empty where all is in order
  bool holds() const { return !bad; }
};

/// Works every hash out again, follows each device's chain from its first fact, and checks kept files, the
/// copies that facts are found by, and the container. It cannot see that the last facts of a chain were cut
/// off: that needs the signed head of the chain. Damage is a finding, not a failure.
Verification verify(const Store& store);

}  // namespace strandbook
