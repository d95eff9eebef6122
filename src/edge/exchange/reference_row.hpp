#pragma once
// A row that records a reference, whether in a file of references or among readings.

#include <vector>

#include "edge/exchange/column_content.hpp"
#include "edge/exchange/sheet_rows.hpp"

namespace strandbook {

/// The references of one row: one for each filled value column. Cells that cannot be used are listed in
/// `rows`; a method that is only a letter leaves the method open, which no outcome can pass with.
std::vector<Reference> references_in(SheetRows& rows, std::size_t row, RowKind kind);

}  // namespace strandbook
