#pragma once
// Tables of arrays: traced positions, wanted types, losses and lengths of lanes; docs/arrays.md has the
// headings.

#include <string>
#include <vector>

#include "domain/applications/array_check.hpp"
#include "edge/exchange/small_table.hpp"

namespace strandbook {

/// What a table gave, and what of it could not be used.
template <class Row>
struct ReadRows {
  std::vector<Row> rows;
  std::vector<Problem> unread;
  std::vector<ImportNote> notes;
};

/// One row for each position: array, near, far. A far cell that is blank or says "no light" is a dark
/// position. Without a column for the array all rows are of one, called "array".
Result<ReadRows<TracedArray>> read_traced_arrays(const std::vector<Grid>& sheets);

/// One row for each array: array, type, fibres.
Result<ReadRows<WantedArray>> read_wanted_arrays(const std::vector<Grid>& sheets);

/// One row for each lane or each array: array, position, loss, limit, length, wavelength, direction.
Result<ReadRows<MeasuredArray>> read_measured_arrays(const std::vector<Grid>& sheets);

}  // namespace strandbook
