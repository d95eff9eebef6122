#pragma once
// XLSX and ODS workbooks -> Grids, one for each sheet.

#include <string>
#include <string_view>
#include <vector>

#include "domain/problem/problem.hpp"
#include "edge/exchange/grid.hpp"

namespace strandbook {

/// A workbook of a kind that is read, or of one that is refused with advice (XLS, XLSB, encrypted).
bool is_workbook(std::string_view bytes);

/// Cells as text: numbers as the shortest text that reads back the same, dates and times as ISO 8601 or
/// HH:MM:SS, "true"/"false", formulas as their last result; numbers shown as "007" keep their zeros.
/// In a merged range only the first cell has text.
Result<std::vector<Grid>> read_workbook(std::string_view bytes, const std::string& file);

}  // namespace strandbook
