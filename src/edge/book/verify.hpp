#pragma once
// Whether a book still says what was once written into it.

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "edge/book/store.hpp"

namespace strandbook {

/// What can be said of one device's chain.
struct ChainReport {
  Uuid device;
  std::size_t facts = 0;          ///< held of it
  std::int64_t in_order_to = 0;   ///< all facts up to this number are as they were written
  std::int64_t signed_to = 0;     ///< the furthest of them that a good signature covers, with all before it
  std::vector<std::string> keys;  ///< fingerprints of the keys that it named, one after the other
  std::optional<std::int64_t> ends;  ///< where the device was retired: its last fact that counts
  std::optional<Uuid> bad_fact;
  std::optional<Problem> bad;  ///< what is wrong first; empty where all is in order
};

/// A time stamp that holds: what its ends say stands in the book.
struct StampFound {
  std::int64_t time_s = 0;
  std::string authority;
  std::size_t chains = 0;
  std::optional<bool> trusted;  ///< its certificate leads to a root given; empty where none was given
};

struct Verification {
  std::size_t facts = 0;            ///< in order
  std::size_t files = 0;            ///< likewise, before the first bad one
  std::vector<ChainReport> chains;  ///< in order of their devices
  std::vector<StampFound> stamps;   ///< in order of recording
  std::optional<Uuid> bad_fact;
  std::optional<Problem> bad;  ///< what is wrong first; empty where all is in order
  bool holds() const { return !bad; }
};

/// Works every hash out again, follows each device's chain from its first fact, and checks the signature at
/// its end, kept files, the copies that facts are found by, and the container. Damage is a finding, not a
/// failure: a chain that is broken keeps what stands before the break. `known`: ends of chains that were seen
/// elsewhere, such as on a report; each must stand in the book. Without them a book that was cut back to an
/// earlier signed state cannot be told from one that never went on. The ends of time stamps in the book are
/// such ends too. `trusted_roots` (PEM): whose stamps are to be trusted; may be empty.
Verification verify(const Store& store, std::span<const Head> known = {},
                    const std::string& trusted_roots = {});

}  // namespace strandbook
