#pragma once
// How a reading sees the connections of a path.

#include <optional>

#include "domain/link/link.hpp"

namespace strandbook {

/// `joins` are held by the reference and so missing from the reading.
struct ConnectionCounts {
  int ends = 0;
  int embedded = 0;
  int joins = 0;
};

/// A reading of a link is F + 2E − joins·R; a channel's own end plugs mate with test cords only, so every
/// connection counted in it is embedded. A join is missing only where an end connection stands against it.
ConnectionCounts counts_of(int connections, std::optional<ReferenceMethod> method,
                           Configuration configuration);

}  // namespace strandbook
