#pragma once
// Where the headings of a sheet stand: below title rows, in one row or in two with merged cells.

#include <string>
#include <string_view>
#include <vector>

#include "edge/exchange/grid.hpp"

namespace strandbook {

/// Headings stand among so many rows.
inline constexpr std::size_t heading_rows_searched = 40;

struct HeadingRows {
  std::size_t first = 0;              ///< row of the topmost heading
  std::size_t first_data = 0;         ///< row after the last heading
  std::vector<std::string> headings;  ///< one per column, upper and lower cells joined by a blank
  bool found = false;                 ///< false: nothing on the sheet looks like a heading
};

/// The rows near the top with the most headings that are understood or that the person named (`chosen`, as
/// bare keys). Cells of an upper row reach right over blank ones that have a heading below.
HeadingRows find_headings(const Grid& grid, const std::vector<std::string>& chosen);

/// A fact from a row above the headings: "Cable CB-7", "Operator: N. N.", "Wavelength | 1310 nm".
struct TitleFact {
  std::size_t row = 0;
  std::string label;
  std::string value;
};
/// Labels are read in their heading meaning; titles that name nothing known are left out.
std::vector<TitleFact> title_facts(const Grid& grid, const HeadingRows& rows);

/// All cells of a row, trimmed.
std::vector<std::string> cells_of(const Grid& grid, std::size_t row);
bool is_blank_row(const Grid& grid, std::size_t row);

}  // namespace strandbook
