#pragma once
// For tests: all cells of a grid, to compare them at once.

#include <string>
#include <vector>

#include "edge/exchange/grid.hpp"

namespace strandbook {

using Rows = std::vector<std::vector<std::string>>;

inline Rows rows_of(const Grid& grid) {
  Rows rows;
  for (std::size_t row = 0; row < grid.rows(); ++row) {
    rows.emplace_back();
    for (std::size_t column = 0; column < grid.width(row); ++column)
      rows.back().emplace_back(grid.cell(row, column));
  }
  return rows;
}

}  // namespace strandbook
