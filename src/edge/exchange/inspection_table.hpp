#pragma once
// A table of what inspections of end faces saw: one row for each mark; docs/arrays.md has the headings.

#include <vector>

#include "domain/applications/end_face.hpp"
#include "edge/exchange/array_tables.hpp"

namespace strandbook {

/// A mark "none" or "clean" says that nothing was seen, "not inspected" that nobody looked. A row of which
/// part cannot be used makes its face one that was read only in part.
Result<ReadRows<InspectedFace>> read_inspections(const std::vector<Grid>& sheets);

}  // namespace strandbook
