#pragma once
// A sheet of text cells, whatever file it came from: the one form in which tables enter strandbook.

#include <cstddef>
#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "domain/problem/problem.hpp"

namespace strandbook {

/// Row-major cells that view one buffer. Every row of the file is there, blank ones too (with no cells),
/// so that row r of the grid is row r + 1 of the person's program. Rows may be ragged.
class Grid {
 public:
  static constexpr std::size_t longest_cell = (std::size_t{1} << 24U) - 1;

  Grid(std::string file, std::string sheet, std::shared_ptr<const std::string> buffer)
      : file_(std::move(file)), sheet_(std::move(sheet)), buffer_(std::move(buffer)) {}

  const std::string& file() const { return file_; }
  const std::string& sheet() const { return sheet_; }  ///< empty for delimited text
  std::size_t rows() const { return row_starts_.size(); }
  std::size_t width(std::size_t row) const { return row_end(row) - row_starts_[row]; }
  /// The cell's text, unquoted, blanks kept; empty where the row is shorter.
  std::string_view cell(std::size_t row, std::size_t column) const {
    const std::size_t at = row_starts_[row] + column;
    if (at >= row_end(row)) return {};
    return {buffer_->data() + cells_[at].offset, cells_[at].length};
  }
  Place place(std::size_t row) const { return {file_, sheet_, row + 1, {}}; }
  std::shared_ptr<const std::string> buffer() const { return buffer_; }

  void reserve(std::size_t rows, std::size_t cells) {
    row_starts_.reserve(rows);
    cells_.reserve(cells);
  }
  void begin_row() { row_starts_.push_back(cells_.size()); }
  /// offset below 2^40, length up to longest_cell: the readers refuse larger files and cells.
  void add_cell(std::size_t offset, std::size_t length) {
    cells_.push_back({offset & 0xFFFFFFFFFFU, static_cast<std::uint32_t>(length) & 0xFFFFFFU});
  }

  /// How the file was read, in words for the person: "UTF-8 with byte-order mark; ';' between cells".
  std::string how_read;

 private:
  struct Cell {
    std::uint64_t offset : 40;
    std::uint64_t length : 24;
  };
  std::size_t row_end(std::size_t row) const {
    return row + 1 < row_starts_.size() ? row_starts_[row + 1] : cells_.size();
  }
  std::string file_;
  std::string sheet_;
  std::shared_ptr<const std::string> buffer_;
  std::vector<std::size_t> row_starts_;
  std::vector<Cell> cells_;
};

/// A table file as its sheets (one for delimited text), and problems that concern the whole file.
/// `name` is what Places call it. Kinds: delimited text, XLSX, ODS, told apart by content, not by name.
Result<std::vector<Grid>> read_grids(const std::string& path);
Result<std::vector<Grid>> read_grids_from_bytes(std::string bytes, const std::string& name);

}  // namespace strandbook
