#pragma once
// Rows of one planned sheet: its cells as values, and what could not be used, each with its place.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "edge/exchange/cell_quantity.hpp"
#include "edge/exchange/cell_text.hpp"
#include "edge/exchange/date_sense.hpp"
#include "edge/exchange/number_sense.hpp"
#include "edge/exchange/table_sheets.hpp"

namespace strandbook {

class SheetRows {
 public:
  SheetRows(const PlannedSheet& sheet, DateOrder order);

  const Grid& grid() const { return *sheet_.grid; }
  const ColumnPlan& plan() const { return sheet_.plan; }
  std::size_t first() const { return sheet_.plan.rows.first_data; }
  std::size_t end() const { return sheet_.grid->rows(); }

  /// The cell trimmed, or the constant that stands in for it; empty for a null column.
  std::string_view text(const PlannedColumn* column, std::size_t row) const {
    if (column == nullptr) return {};
    const std::string_view cell =
        column->index == no_column ? std::string_view{} : trimmed(sheet_.grid->cell(row, column->index));
    return cell.empty() ? std::string_view(column->constant) : cell;
  }

  /// The value; nothing where the cell is blank. An unusable cell is listed, and `row_is_bad` says so.
  template <class T>
  std::optional<T> value(const Cell<T>& cell, const PlannedColumn& column, std::size_t row) {
    if (cell.has_value()) return cell.value;
    if (cell.state == CellState::unusable)
      refuse(column, row, std::string(cell.wanted), std::string(cell.advice));
    return std::nullopt;
  }
  std::optional<Metres> length(const PlannedColumn* column, std::size_t row);
  std::optional<Nanometres> wavelength(const PlannedColumn* column, std::size_t row);
  std::optional<int> count(const PlannedColumn* column, std::size_t row);
  std::optional<Decibels> decibels(const PlannedColumn* column, std::size_t row);
  /// Time and date columns together. A cell that is no moment is listed, but does not make the row bad.
  std::optional<Instant> moment(std::size_t row);

  /// A day, or nothing where the cell is blank; one that is no day is listed and makes the row bad.
  std::optional<Instant> day(const PlannedColumn* column, std::size_t row);

  /// Lists the cell and marks the row as bad.
  void refuse(const PlannedColumn& column, std::size_t row, std::string wanted, std::string advice);
  /// Lists the row as a whole.
  void refuse_row(std::size_t row, std::string found, std::string wanted, std::string advice);

  /// Blank, repeated heading, sum or ragged row: nothing to read in it. Sums and ragged rows are listed.
  bool is_passed_over(std::size_t row);
  void begin_row() { row_is_bad = false; }
  bool row_is_bad = false;

  /// Notes of the plan, of decimal sign and date order, and the open question of dates.
  void finish();

  NumberSense numbers;
  DateSense dates;
  std::vector<Problem> unread;
  std::vector<ImportNote> notes;

 private:
  bool is_ragged(std::size_t row) const;
  bool repeats_headings(std::size_t row) const;
  const PlannedSheet& sheet_;
  const PlannedColumn* time_ = nullptr;
  const PlannedColumn* date_ = nullptr;
};

/// All cells of a row as one text, for a Problem: "Total strands: 2 | | 0.92".
std::string row_text(const Grid& grid, std::size_t row);

}  // namespace strandbook
