#pragma once
// Delimited text (CSV and its relatives) -> a Grid that views the text itself.

#include <string>

#include "domain/problem/problem.hpp"
#include "edge/exchange/grid.hpp"

namespace strandbook {

/// Rows end with CRLF, LF or CR. A cell that begins with a quote may hold delimiters, line ends and doubled
/// quotes; a quote further inside a cell is an ordinary character (5" duct). One pass; cells are unquoted
/// in place. A quote that is never closed would swallow the rest of the file, so it is a Problem of its row.
Result<Grid> read_delimited(std::string bytes, const std::string& file);

}  // namespace strandbook
