#include "edge/exchange/small_table.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "edge/exchange/cell_text.hpp"
#include "edge/exchange/column_content.hpp"
#include "edge/exchange/heading_rows.hpp"
#include "edge/exchange/number_sense.hpp"
#include "edge/exchange/sheet_rows.hpp"
#include "edge/exchange/small_table_headings.hpp"

namespace strandbook {
namespace {

constexpr PowerDbm highest_level{60};

bool is_numeric(const TableColumn& column) {
  return column.kind != CellKind::text || column.unit != Unit::none;
}

/// A cell as a number in the column's unit; a value without number is darkness.
using MaybeNumber = std::optional<double>;

Cell<MaybeNumber> metered(const Cell<MeterValue>& cell) {
  if (!cell.has_value()) return {cell.state, {}, cell.wanted, cell.advice};
  return Cell<MaybeNumber>::of(cell.value.dark ? std::nullopt : MaybeNumber{cell.value.value});
}

Cell<MaybeNumber> in_unit_of(const FoundColumn& where, const Cell<Quantity>& cell) {
  if (!cell.has_value()) return {cell.state, {}, cell.wanted, cell.advice};
  const Unit heading = where.unit == Unit::none ? where.column->unit : where.unit;
  const Unit written = cell.value.unit == Unit::none ? heading : cell.value.unit;
  const std::optional<double> factor = factor_between(written, where.column->unit);
  if (!factor) return Cell<MaybeNumber>::unusable("a value in the unit of its column", "check the unit");
  return Cell<MaybeNumber>::of(cell.value.number.value * *factor);
}

Cell<MaybeNumber> read_numeric(const FoundColumn& where, std::string_view text, NumberSense& numbers) {
  const TableColumn& column = *where.column;
  if (column.unit == Unit::db) return metered(read_loss(text, numbers));
  if (column.unit == Unit::dbm) return metered(read_level(text, where.unit, highest_level, numbers));
  if (column.kind != CellKind::count) return in_unit_of(where, read_quantity(text, numbers));
  if (column.may_be_dark && says_dark(text)) return Cell<MaybeNumber>::of(std::nullopt);
  const Cell<int> count = read_count(text, numbers);
  if (!count.has_value()) return {count.state, {}, count.wanted, count.advice};
  return Cell<MaybeNumber>::of(count.value);
}

std::string range_of(const TableColumn& column) {
  const char* what = column.kind == CellKind::count ? "a whole number" : "a number";
  return fmt::format("{} from {:.15g} to {:.15g}", what, column.least, column.most);
}

class SmallSheet {
 public:
  SmallSheet(const Grid& grid, const SmallHeadings& headings, SmallTable& table)
      : grid_(grid), headings_(headings), table_(table), numbers_(number_columns()) {}

  void read() {
    for (std::size_t row = headings_.row + 1; row < grid_.rows(); ++row)
      if (!is_passed_over(row)) read_row(row);
    note_columns();
    const std::string decimal_sign = numbers_.note();
    if (!decimal_sign.empty()) note(decimal_sign);
  }

 private:
  NumberColumns number_columns() const {
    NumberColumns where{&grid_, headings_.row + 1, {}};
    for (const FoundColumn& each : headings_.columns)
      if (is_numeric(*each.column)) where.columns.push_back(each.index);
    return where;
  }

  void note(std::string text) { table_.notes.push_back({grid_.file(), grid_.sheet(), std::move(text)}); }

  void refuse_row(std::size_t row, std::string wanted, std::string advice) {
    table_.unread.push_back({grid_.place(row), row_text(grid_, row), std::move(wanted), std::move(advice)});
  }

  bool is_passed_over(std::size_t row) {
    const std::vector<std::string> cells = cells_of(grid_, row);
    if (cells.empty()) return true;
    if (cells == headings_.cells) {
      note(fmt::format("row {} repeats the headings", row + 1));
      return true;
    }
    const auto first = std::find_if(cells.begin(), cells.end(), [](const auto& c) { return !c.empty(); });
    if (is_summary(*first)) {
      refuse_row(row, "a row of the table: this one sums up others", "nothing to do");
      return true;
    }
    return false;
  }

  /// More cells than headings: told, since all cells may be in the wrong columns.
  bool is_ragged(std::size_t row) {
    if (cells_of(grid_, row).size() <= headings_.cells.size()) return false;
    refuse_row(row, fmt::format("no more than {} cells, as in the headings", headings_.cells.size()),
               "a comma inside a number or name? put the cell in quotes");
    return true;
  }

  void read_row(std::size_t row) {
    SmallRow read{grid_.place(row), {}};
    bool spoilt = is_ragged(row);
    for (const FoundColumn& where : headings_.columns) {
      const std::string_view text = trimmed(grid_.cell(row, where.index));
      std::optional<Problem> problem = take_cell(read, where, text);
      if (!problem) continue;
      table_.unread.push_back(std::move(*problem));
      spoilt = true;
    }
    (spoilt ? table_.spoilt : table_.rows).push_back(std::move(read));
  }

  /// Puts the cell into the row, or says why it cannot be used.
  std::optional<Problem> take_cell(SmallRow& row, const FoundColumn& where, std::string_view text) {
    const TableColumn& column = *where.column;
    SmallCell cell{where.heading, std::string(text), {}};
    const auto refusal = [&](std::string wanted, std::string advice) {
      Place at = row.at;
      at.column = where.heading;
      return Problem{std::move(at), cell.text.empty() ? "a blank cell" : cell.text, std::move(wanted),
                     std::move(advice)};
    };
    if (says_nothing(text)) {
      if (column.need != ColumnNeed::filled) return std::nullopt;
      return refusal(fmt::format("the {} in every row", where.heading), "fill the cell");
    }
    if (is_numeric(column)) {
      const Cell<MaybeNumber> number = read_numeric(where, text, numbers_);
      if (!number.has_value()) return refusal(std::string(number.wanted), std::string(number.advice));
      if (number.value && !(*number.value >= column.least && *number.value <= column.most))
        return refusal(range_of(column), "correct the cell");
      cell.number = number.value;
    }
    row.cells.emplace(column.key, std::move(cell));
    return std::nullopt;
  }

  void note_columns() {
    for (std::size_t index = 0; index < headings_.cells.size(); ++index) {
      const bool used = std::any_of(headings_.columns.begin(), headings_.columns.end(),
                                    [index](const FoundColumn& each) { return each.index == index; });
      if (!used && !headings_.cells[index].empty())
        note(fmt::format("column \"{}\" is not used", headings_.cells[index]));
    }
  }

  const Grid& grid_;
  const SmallHeadings& headings_;
  SmallTable& table_;
  NumberSense numbers_;
};

std::string first_words(const Grid& grid) {
  for (std::size_t row = 0; row < grid.rows(); ++row)
    if (!is_blank_row(grid, row)) return row_text(grid, row).substr(0, 200);
  return {};
}

std::string needed(const std::vector<TableColumn>& columns) {
  std::string names;
  for (const TableColumn& column : columns)
    if (column.need != ColumnNeed::optional)
      names += fmt::format("{}\"{}\"", names.empty() ? "" : ", ", column.key);
  return names;
}

/// None of the sheets has the needed columns; `nearest` is the one with the most of them.
Problem not_the_table(const std::vector<Grid>& sheets, const Grid* nearest, const SmallHeadings& found,
                      const std::vector<TableColumn>& columns, std::string_view what) {
  const std::string file = sheets.empty() ? std::string() : sheets.front().file();
  if (nearest == nullptr)
    return {{file, {}, 0, {}},
            sheets.empty() ? std::string() : first_words(sheets.front()),
            fmt::format("a table of {} with headings for {}", what, needed(columns)),
            "Is it the right file? Give its columns these names."};
  std::string headings;
  for (const std::string& cell : found.cells)
    if (!cell.empty()) headings += (headings.empty() ? "" : ", ") + cell;
  return {nearest->place(found.row), "headings: " + headings,
          fmt::format("a column \"{}\" in a table of {}", missing_column(found, columns)->key, what),
          "Name or add that column."};
}

void keep_columns(const SmallHeadings& found, SmallTable& table) {
  for (const FoundColumn& each : found.columns)
    if (!table.has(each.column->key)) table.columns.emplace_back(each.column->key);
}

}  // namespace

const std::string& SmallRow::text(std::string_view key) const {
  static const std::string blank;
  const auto cell = cells.find(key);
  return cell == cells.end() ? blank : cell->second.text;
}

std::optional<double> SmallRow::number(std::string_view key) const {
  const auto cell = cells.find(key);
  return cell == cells.end() ? std::nullopt : cell->second.number;
}

Problem SmallRow::refusal(std::string_view key, std::string wanted, std::string advice) const {
  Problem problem{at, "a blank cell", std::move(wanted), std::move(advice)};
  const auto cell = cells.find(key);
  problem.at.column = cell == cells.end() ? std::string(key) : cell->second.heading;
  if (cell != cells.end()) problem.found = cell->second.text;
  return problem;
}

bool SmallTable::has(std::string_view key) const {
  return std::find(columns.begin(), columns.end(), key) != columns.end();
}

Result<SmallTable> read_small_table(const std::vector<Grid>& sheets, const std::vector<TableColumn>& columns,
                                    std::string_view what) {
  SmallTable table;
  const Grid* nearest = nullptr;
  SmallHeadings nearest_found;
  for (const Grid& grid : sheets) {
    SmallHeadings found = find_small_headings(grid, columns);
    if (!found.columns.empty() && missing_column(found, columns) == nullptr) {
      if (const auto problem = contradiction_in(found, grid)) return *problem;
      keep_columns(found, table);
      SmallSheet(grid, found, table).read();
      continue;
    }
    if (found.columns.size() > nearest_found.columns.size()) {
      nearest = &grid;
      nearest_found = std::move(found);
    }
    if (!first_words(grid).empty())
      table.notes.push_back({grid.file(), grid.sheet(), fmt::format("sheet not read as {}", what)});
  }
  if (table.columns.empty()) return not_the_table(sheets, nearest, nearest_found, columns, what);
  if (table.rows.empty() && table.unread.empty())
    return Problem{{sheets.front().file(), {}, 0, {}},
                   "no row of data",
                   "headings and at least one row below them",
                   "is it the right file?"};
  return table;
}

Result<SmallTable> read_small_table(const std::string& path, const std::vector<TableColumn>& columns,
                                    std::string_view what) {
  const Result<std::vector<Grid>> sheets = read_grids(path);
  if (!sheets) return sheets.problem();
  return read_small_table(*sheets, columns, what);
}

}  // namespace strandbook
