#include "edge/exchange/sheet_builder.hpp"

#include <algorithm>

#include "edge/exchange/workbook_problem.hpp"

namespace strandbook {
namespace {

constexpr std::size_t kMostText = std::size_t{1} << 31U;

}  // namespace

void SheetBuilder::begin_sheet(const std::string& name, const std::string& how_read) {
  write_row();
  row_number_ = 0;
  row_times_ = 1;
  grids_.emplace_back(file_, name, text_);
  grids_.back().how_read = how_read;
}

void SheetBuilder::begin_row(std::size_t row) {
  write_row();
  if (grids_.empty() || row < grids_.back().rows() || row >= kMostRows)
    return refuse(SheetRefusal::rows_out_of_order);
  row_number_ = row;
  row_open_ = true;
  row_times_ = 1;
}

void SheetBuilder::add_cell(std::size_t column, TextPiece text, std::size_t repeat) {
  if (text.length == 0 || !row_open_) return;
  const std::size_t end = std::min(kMostColumns, column + repeat);
  if (row_.size() + end > kMostCells + column) return refuse(SheetRefusal::too_many_cells);
  for (; column < end; ++column) row_.push_back({column, text});
}

void SheetBuilder::repeat_row(std::size_t times) { row_times_ = std::max<std::size_t>(1, times); }

TextPiece SheetBuilder::store(std::string_view text) {
  if (text.size() > Grid::longest_cell) refuse(SheetRefusal::cell_too_long);
  if (text_->size() + text.size() > kMostText) refuse(SheetRefusal::too_much_text);
  if (refusal_ != SheetRefusal::none) return {};
  const TextPiece piece{text_->size(), text.size()};
  *text_ += text;
  return piece;
}

std::vector<Grid> SheetBuilder::take() {
  write_row();
  return std::move(grids_);
}

bool SheetBuilder::spend(std::size_t cells) {
  if (cells > kMostCells - spent_) {
    refuse(SheetRefusal::too_many_cells);
    return false;
  }
  spent_ += cells;
  return true;
}

void SheetBuilder::write_row() {
  const bool has_cells = std::exchange(row_open_, false) && !row_.empty();
  // Blank rows behind the last cell are left out: a sheet has a million of them.
  if (has_cells && refusal_ == SheetRefusal::none) write_filled_row();
  row_.clear();
}

void SheetBuilder::write_filled_row() {
  std::stable_sort(row_.begin(), row_.end(),
                   [](const RowCell& a, const RowCell& b) { return a.column < b.column; });
  Grid& grid = grids_.back();
  const std::size_t times = std::min(row_times_, kMostRows - row_number_);
  const std::size_t width = row_.back().column + 1;
  if (!spend(row_number_ - grid.rows() + (width + 1) * times)) return;
  while (grid.rows() < row_number_) grid.begin_row();
  for (std::size_t time = 0; time < times; ++time) write_cells(grid);
}

void SheetBuilder::write_cells(Grid& grid) const {
  grid.begin_row();
  for (std::size_t i = 0; i < row_.size(); ++i) {
    if (i + 1 < row_.size() && row_[i + 1].column == row_[i].column) continue;  // said twice: the last counts
    while (grid.width(grid.rows() - 1) < row_[i].column) grid.add_cell(0, 0);
    grid.add_cell(row_[i].text.offset, row_[i].text.length);
  }
}

Problem describe_refusal(SheetRefusal refusal, const std::string& file) {
  switch (refusal) {
    case SheetRefusal::none:
      break;
    case SheetRefusal::too_many_cells:
      return oversized_workbook(file, "more than 50 million cells");
    case SheetRefusal::too_much_text:
      return oversized_workbook(file, "more than 2 GB of text");
    case SheetRefusal::cell_too_long:
      return oversized_workbook(file, "a cell of more than 16 million characters");
    case SheetRefusal::rows_out_of_order:
      return damaged_workbook(file, "its rows are out of order");
  }
  return damaged_workbook(file, "its sheets cannot be read");
}

}  // namespace strandbook
