#include "edge/exchange/sheet_rows.hpp"

#include <fmt/format.h>

#include <array>

#include "edge/exchange/cell_quantity.hpp"
#include "edge/exchange/cell_text.hpp"
#include "edge/exchange/column_content.hpp"

namespace strandbook {
namespace {

bool is_numeric(Field field) {
  return field == Field::length || field == Field::connections || field == Field::splices ||
         field == Field::limit || field == Field::uncertainty || field == Field::valid_days;
}

constexpr std::array date_fields = {Field::date, Field::time, Field::calibrated_on, Field::valid_through};

NumberColumns number_columns(const PlannedSheet& sheet) {
  NumberColumns where{sheet.grid, sheet.plan.rows.first_data, {}};
  for (const PlannedColumn& column : sheet.plan.columns)
    if (is_numeric(column.meaning.field) && column.index != no_column) where.columns.push_back(column.index);
  for (const ValueGroup& group : sheet.plan.values)
    for (const PlannedColumn& column : group.columns) where.columns.push_back(column.index);
  return where;
}

DateColumns date_columns(const PlannedSheet& sheet) {
  DateColumns where{sheet.grid, sheet.plan.rows.first_data, {}};
  for (const Field field : date_fields) {
    const PlannedColumn* column = sheet.plan.find(field);
    if (column != nullptr && column->index != no_column) where.columns.push_back(column->index);
  }
  return where;
}

}  // namespace

std::string row_text(const Grid& grid, std::size_t row) {
  std::string text;
  for (const std::string& cell : cells_of(grid, row)) text += (text.empty() ? "" : " | ") + cell;
  return text;
}

SheetRows::SheetRows(const PlannedSheet& sheet, DateOrder order)
    : numbers(number_columns(sheet)),
      dates(date_columns(sheet), order),
      sheet_(sheet),
      time_(sheet.plan.find(Field::time)),
      date_(sheet.plan.find(Field::date)) {}

std::optional<Metres> SheetRows::length(const PlannedColumn* column, std::size_t row) {
  if (column == nullptr) return std::nullopt;
  return value(read_length(text(column, row), column->meaning.unit, numbers), *column, row);
}

std::optional<Nanometres> SheetRows::wavelength(const PlannedColumn* column, std::size_t row) {
  if (column == nullptr) return std::nullopt;
  return value(read_wavelength(text(column, row), column->meaning.unit, numbers), *column, row);
}

std::optional<int> SheetRows::count(const PlannedColumn* column, std::size_t row) {
  if (column == nullptr) return std::nullopt;
  return value(read_count(text(column, row), numbers), *column, row);
}

std::optional<Decibels> SheetRows::decibels(const PlannedColumn* column, std::size_t row) {
  if (column == nullptr) return std::nullopt;
  const auto found = value(read_loss(text(column, row), numbers), *column, row);
  if (!found) return std::nullopt;
  if (!found->dark && found->value >= 0) return Decibels{found->value};
  refuse(*column, row, "a number of dB, 0 or more", "correct the cell");
  return std::nullopt;
}

std::optional<Instant> SheetRows::moment(std::size_t row) {
  const auto read = [&](const PlannedColumn* column) -> std::optional<Instant> {
    if (column == nullptr) return std::nullopt;
    const Cell<Instant> cell = dates.read(text(column, row), row);
    if (cell.state == CellState::unusable) {
      const bool was_bad = row_is_bad;
      refuse(*column, row, std::string(cell.wanted), "the row is kept without its time: correct the cell");
      row_is_bad = was_bad;
    }
    return cell.has_value() ? std::optional(cell.value) : std::nullopt;
  };
  const std::optional<Instant> time = read(time_);
  if (date_ == nullptr || (time && time->dated)) return time;
  const std::optional<Instant> date = read(date_);
  if (!date || !date->dated || !time || date->timed) return date ? date : time;
  return joined(*date, *time);
}

std::optional<Instant> SheetRows::day(const PlannedColumn* column, std::size_t row) {
  if (column == nullptr) return std::nullopt;
  const auto found = value(dates.read(text(column, row), row), *column, row);
  if (!found) return std::nullopt;
  if (!found->dated) {
    refuse(*column, row, "a date", "correct the cell");
    return std::nullopt;
  }
  return day_of(*found);
}

void SheetRows::refuse(const PlannedColumn& column, std::size_t row, std::string wanted, std::string advice) {
  Place at = sheet_.grid->place(row);
  at.column = column.heading;
  unread.push_back({std::move(at), std::string(text(&column, row)), std::move(wanted), std::move(advice)});
  row_is_bad = true;
}

void SheetRows::refuse_row(std::size_t row, std::string found, std::string wanted, std::string advice) {
  unread.push_back({sheet_.grid->place(row), std::move(found), std::move(wanted), std::move(advice)});
  row_is_bad = true;
}

bool SheetRows::is_ragged(std::size_t row) const {
  for (std::size_t column = sheet_.plan.rows.headings.size(); column < sheet_.grid->width(row); ++column)
    if (!trimmed(sheet_.grid->cell(row, column)).empty()) return true;
  return false;
}

bool SheetRows::repeats_headings(std::size_t row) const {
  return cells_of(*sheet_.grid, row) == cells_of(*sheet_.grid, sheet_.plan.rows.first);
}

bool SheetRows::is_passed_over(std::size_t row) {
  std::string_view first;
  for (std::size_t column = 0; column < sheet_.grid->width(row) && first.empty(); ++column)
    first = trimmed(sheet_.grid->cell(row, column));
  if (first.empty()) return true;
  if (is_summary(first)) {
    refuse_row(row, row_text(*sheet_.grid, row), "a strand: this is a total row, not a strand",
               "nothing to do");
    return true;
  }
  if (sheet_.grid->width(row) > sheet_.plan.rows.headings.size() && is_ragged(row)) {
    refuse_row(row, row_text(*sheet_.grid, row),
               fmt::format("no more than {} cells, as in the headings", sheet_.plan.rows.headings.size()),
               "a comma inside a number or name? put the cell in quotes");
    return true;
  }
  if (first == trimmed(sheet_.grid->cell(sheet_.plan.rows.first, 0)) && repeats_headings(row)) {
    notes.push_back(
        {sheet_.grid->file(), sheet_.grid->sheet(), fmt::format("row {} repeats the headings", row + 1)});
    return true;
  }
  return false;
}

void SheetRows::finish() {
  const auto add = [this](const std::string& text) {
    if (!text.empty()) notes.push_back({sheet_.grid->file(), sheet_.grid->sheet(), text});
  };
  for (const std::string& text : sheet_.plan.notes) add(text);
  add(numbers.note());
  add(dates.note());
  for (const Field field : date_fields) {
    const PlannedColumn* column = sheet_.plan.find(field);
    if (column == nullptr) continue;
    if (auto question = dates.open_question(column->heading)) unread.push_back(std::move(*question));
    return;
  }
}

}  // namespace strandbook
