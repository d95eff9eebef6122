#pragma once
// Tables that run over pages: a head that comes again, dense rows on one line each, or rows that wrap.

#include <initializer_list>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "edge/report/flow.hpp"

namespace strandbook {

struct Column {
  std::string title;  ///< in English; said in the language of the report
  double share = 1;   ///< of the table's width, beside the other columns' shares
  Align align = Align::left;
};

struct TableCell {
  std::string text = {};
  Ink ink = Ink::ink;
  std::optional<Outcome> mark = {};  ///< shape before the text
  int chip = 0;                      ///< strand colour before the text; 0 = none
  Face face = Face::sans;
};

class Table {
 public:
  /// `indent`: how far from the page's left edge the table starts.
  Table(Flow& flow, std::vector<Column> columns, double size = 8.2, double indent = 0);

  void head();
  /// One line per row; what does not fit is elided.
  void row(std::span<const TableCell> cells);
  /// As many lines as the longest cell needs.
  void wrapped_row(std::span<const TableCell> cells);
  void wrapped_row(std::initializer_list<TableCell> cells) {
    wrapped_row(std::span(cells.begin(), cells.size()));
  }
  void row(std::initializer_list<TableCell> cells) { row(std::span(cells.begin(), cells.size())); }
  /// A hairline below the last row.
  void rule(Ink ink = Ink::hairline, double weight = 0.35);
  /// Where the last row stands, for links.
  Box last_row() const { return last_; }
  double pitch() const { return size_ * 1.37; }
  double column_left(std::size_t column) const { return lefts_[column]; }
  double column_width(std::size_t column) const { return widths_[column]; }

 private:
  void title_of(std::size_t column, const std::vector<std::string>& lines, std::size_t deepest);
  void line_of(const TableCell& cell, std::size_t column, double baseline, std::string_view text);
  void shapes_of(const TableCell& cell, std::size_t column, double baseline);
  void begin_row();
  void end_row();
  void begin_cell(PageRole role);
  /// Lines `from` to `from + count` of every cell, as one row.
  void set_lines(std::span<const TableCell> cells, const std::vector<std::vector<std::string>>& texts,
                 std::size_t from, std::size_t count);
  void flush_page_break(double height);

  Flow& flow_;
  std::vector<Column> columns_;
  double size_;
  double indent_;
  std::vector<double> lefts_;
  std::vector<double> widths_;
  Box last_;
  bool headed_ = false;
};

}  // namespace strandbook
