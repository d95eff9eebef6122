#pragma once
// Which column of a sheet means what, settled once before its rows are read.

#include <optional>
#include <string>
#include <vector>

#include "domain/problem/problem.hpp"
#include "edge/exchange/column_choices.hpp"
#include "edge/exchange/grid.hpp"
#include "edge/exchange/heading_rows.hpp"
#include "edge/exchange/heading_words.hpp"

namespace strandbook {

inline constexpr std::size_t no_column = static_cast<std::size_t>(-1);

/// A column that is used; or a constant (index == no_column), from a title row or from the person.
struct PlannedColumn {
  std::size_t index = no_column;
  std::string heading;
  HeadingMeaning meaning;
  std::string constant;  ///< stands in where the cell is blank
};

/// One reading of each row. Of its columns, in order of preference, the first that is filled counts.
struct ValueGroup {
  double wavelength_nm = 0;  ///< 0: the row says it
  std::optional<Direction> direction;
  std::vector<PlannedColumn> columns;
};

struct ColumnPlan {
  HeadingRows rows;
  std::vector<PlannedColumn> columns;  ///< at most one per field
  std::vector<ValueGroup> values;
  bool holds_readings = false;     ///< a schedule that is a readings file too: rows repeat strands
  bool holds_events = false;       ///< losses at places along the fibre, from a backscatter trace
  std::string title_cable;         ///< from a title row
  std::vector<std::string> notes;  ///< how the headings were understood, for the person
  std::vector<std::size_t> matched_choices;

  /// Null where there is none.
  const PlannedColumn* find(Field field) const;
};

ColumnPlan plan_columns(const Grid& grid, TableKind table, const std::vector<ColumnChoice>& choices);

}  // namespace strandbook
