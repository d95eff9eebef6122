#pragma once
// Collects the cells of a workbook's sheets into Grids, within the bounds of what a person could have meant.

#include <cstddef>
#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "edge/exchange/grid.hpp"

namespace strandbook {

/// A piece of the workbook's text; several cells may share one.
struct TextPiece {
  std::size_t offset = 0;
  std::size_t length = 0;
};

/// Why a workbook cannot be taken; a value of our own, as it must get out of the XML parser's calls.
enum class SheetRefusal { none, too_many_cells, too_much_text, cell_too_long, rows_out_of_order };

class SheetBuilder {
 public:
  static constexpr std::size_t kMostCells =
      50'000'000;  ///< of all sheets together, gaps and blank rows included
  static constexpr std::size_t kMostRows = 1'048'576;
  static constexpr std::size_t kMostColumns = 16'384;

  explicit SheetBuilder(std::string file) : file_(std::move(file)), text_(std::make_shared<std::string>()) {}

  void begin_sheet(const std::string& name, const std::string& how_read);
  /// Rows and columns count from 0; rows must ascend, columns need not.
  void begin_row(std::size_t row);
  void add_cell(std::size_t column, TextPiece text, std::size_t repeat = 1);
  /// Says the row just filled again, so many times in all.
  void repeat_row(std::size_t times);
  TextPiece store(std::string_view text);

  SheetRefusal refusal() const { return refusal_; }
  std::vector<Grid> take();

 private:
  struct RowCell {
    std::size_t column;
    TextPiece text;
  };
  void refuse(SheetRefusal why) {
    if (refusal_ == SheetRefusal::none) refusal_ = why;
  }
  bool spend(std::size_t cells);
  void write_row();
  void write_filled_row();
  void write_cells(Grid& grid) const;

  std::string file_;
  std::shared_ptr<std::string> text_;
  std::vector<Grid> grids_;
  std::vector<RowCell> row_;
  std::size_t row_number_ = 0;
  bool row_open_ = false;
  std::size_t row_times_ = 1;
  std::size_t spent_ = 0;
  SheetRefusal refusal_ = SheetRefusal::none;
};

/// The refusal in words for the person.
Problem describe_refusal(SheetRefusal refusal, const std::string& file);

}  // namespace strandbook
