#pragma once
// Which heading of a sheet means which of the columns that a small table may have.

#include <string>
#include <string_view>
#include <vector>

#include "edge/exchange/grid.hpp"
#include "edge/exchange/small_table.hpp"

namespace strandbook {

struct FoundColumn {
  const TableColumn* column = nullptr;
  std::size_t index = 0;
  std::string heading;
  Unit unit = Unit::none;  ///< as the heading names it
};

struct SmallHeadings {
  std::size_t row = 0;  ///< the row of the headings, counted from 0
  std::vector<std::string> cells;
  std::vector<FoundColumn> columns;
};

/// The row near the top in which most headings are known; the first of several. No columns where none is.
SmallHeadings find_small_headings(const Grid& grid, const std::vector<TableColumn>& columns);

/// The first needed column that is not among them; null where none is missing.
const TableColumn* missing_column(const SmallHeadings& found, const std::vector<TableColumn>& columns);

/// Two headings for one column, or a unit of another sort.
std::optional<Problem> contradiction_in(const SmallHeadings& found, const Grid& grid);

/// Factor from one unit to another of the same sort; nothing where the sorts differ.
std::optional<double> factor_between(Unit from, Unit to);

}  // namespace strandbook
