#include "edge/exchange/small_table_headings.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "edge/exchange/cell_text.hpp"
#include "edge/exchange/heading_rows.hpp"

namespace strandbook {
namespace {

struct UnitWord {
  std::string_view key;  ///< as bare_key leaves it
  Unit unit;
};
// Longer ones first: "lossdbm" ends in "m" too.
constexpr auto unit_words = std::to_array<UnitWord>({{"dbperkm", Unit::db_per_km},
                                                     {"metres", Unit::m},
                                                     {"meters", Unit::m},
                                                     {"metre", Unit::m},
                                                     {"meter", Unit::m},
                                                     {"feet", Unit::ft},
                                                     {"dbkm", Unit::db_per_km},
                                                     {"dbm", Unit::dbm},
                                                     {"mw", Unit::mw},
                                                     {"uw", Unit::uw},
                                                     {"nw", Unit::nw},
                                                     {"nm", Unit::nm},
                                                     {"um", Unit::um},
                                                     {"km", Unit::km},
                                                     {"ft", Unit::ft},
                                                     {"db", Unit::db},
                                                     {"m", Unit::m}});

enum class UnitSort : std::uint8_t { none, ratio, level, power, length, per_length, share };

UnitSort sort_of(Unit unit) {
  switch (unit) {
    case Unit::none:
      return UnitSort::none;
    case Unit::db:
      return UnitSort::ratio;
    case Unit::dbm:
      return UnitSort::level;
    case Unit::mw:
    case Unit::uw:
    case Unit::nw:
      return UnitSort::power;
    case Unit::nm:
    case Unit::um:
    case Unit::m:
    case Unit::km:
    case Unit::ft:
      return UnitSort::length;
    case Unit::db_per_km:
      return UnitSort::per_length;
    case Unit::percent:
      return UnitSort::share;
  }
  return UnitSort::none;
}

/// In nanometres, nanowatts, or as it is.
double base_size_of(Unit unit) {
  switch (unit) {
    case Unit::um:
    case Unit::uw:
      return 1e3;
    case Unit::mw:
      return 1e6;
    case Unit::m:
      return 1e9;
    case Unit::km:
      return 1e12;
    case Unit::ft:
      return from_feet(1).value * 1e9;
    case Unit::none:
    case Unit::db:
    case Unit::dbm:
    case Unit::nw:
    case Unit::nm:
    case Unit::db_per_km:
    case Unit::percent:
      return 1;
  }
  return 1;
}

bool is_named(const TableColumn& column, std::string_view key) {
  return !key.empty() && (key == bare_key(column.key) || lists_word(column.synonyms, key));
}

/// The unit that the heading names, or none; nothing where the heading does not mean this column.
std::optional<Unit> unit_if_named(const TableColumn& column, std::string_view key) {
  if (is_named(column, key)) return Unit::none;
  if (column.unit == Unit::none) return std::nullopt;
  for (const UnitWord& word : unit_words)
    if (key.ends_with(word.key) && is_named(column, key.substr(0, key.size() - word.key.size())))
      return word.unit;
  return std::nullopt;
}

/// The column that a heading means: one whose unit is of the heading's sort before one whose unit is not.
std::optional<FoundColumn> column_named(const std::string& heading, const std::vector<TableColumn>& columns) {
  const std::string key = bare_key(heading);
  std::optional<FoundColumn> other_sort;
  for (const TableColumn& column : columns) {
    const std::optional<Unit> unit = unit_if_named(column, key);
    if (!unit) continue;
    FoundColumn found{&column, 0, heading, *unit};
    if (*unit == Unit::none || factor_between(*unit, column.unit)) return found;
    if (!other_sort) other_sort = std::move(found);
  }
  return other_sort;
}

SmallHeadings headings_in(const Grid& grid, std::size_t row, const std::vector<TableColumn>& columns) {
  SmallHeadings found{row, cells_of(grid, row), {}};
  for (std::size_t index = 0; index < found.cells.size(); ++index) {
    std::optional<FoundColumn> column = column_named(found.cells[index], columns);
    if (!column) continue;
    column->index = index;
    found.columns.push_back(std::move(*column));
  }
  return found;
}

Problem at_headings(const SmallHeadings& found, const Grid& grid, std::string what, std::string wanted,
                    std::string advice) {
  Place at = grid.place(found.row);
  return {std::move(at), std::move(what), std::move(wanted), std::move(advice)};
}

}  // namespace

std::optional<double> factor_between(Unit from, Unit to) {
  if (sort_of(from) != sort_of(to)) return std::nullopt;
  return from == to ? 1 : base_size_of(from) / base_size_of(to);
}

SmallHeadings find_small_headings(const Grid& grid, const std::vector<TableColumn>& columns) {
  SmallHeadings best;
  for (std::size_t row = 0; row < std::min(grid.rows(), heading_rows_searched); ++row) {
    SmallHeadings candidate = headings_in(grid, row, columns);
    if (candidate.columns.size() > best.columns.size()) best = std::move(candidate);
  }
  return best;
}

const TableColumn* missing_column(const SmallHeadings& found, const std::vector<TableColumn>& columns) {
  for (const TableColumn& column : columns) {
    const bool there = std::any_of(found.columns.begin(), found.columns.end(),
                                   [&](const FoundColumn& each) { return each.column == &column; });
    if (column.need != ColumnNeed::optional && !there) return &column;
  }
  return nullptr;
}

std::optional<Problem> contradiction_in(const SmallHeadings& found, const Grid& grid) {
  for (const FoundColumn& one : found.columns) {
    for (const FoundColumn& other : found.columns)
      if (one.index < other.index && one.column == other.column)
        return at_headings(found, grid, fmt::format("\"{}\" and \"{}\"", one.heading, other.heading),
                           fmt::format("one column for {}", one.column->key),
                           "Both headings mean the same: rename or take out the one that is not to be read.");
    if (one.unit != Unit::none && !factor_between(one.unit, one.column->unit))
      return at_headings(found, grid, fmt::format("the heading \"{}\"", one.heading),
                         fmt::format("{} in a unit of its own sort", one.column->key),
                         "Correct the unit in the heading, or rename the column.");
  }
  return std::nullopt;
}

}  // namespace strandbook
