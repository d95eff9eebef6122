#include "edge/report/table.hpp"

#include <algorithm>
#include <utility>

namespace strandbook {
namespace {

constexpr double gutter = 7;

}  // namespace

Table::Table(Flow& flow, std::vector<Column> columns, double size, double indent)
    : flow_(flow), columns_(std::move(columns)), size_(size), indent_(indent) {
  double shares = 0;
  for (const Column& column : columns_) shares += column.share;
  double x = flow.left() + indent;
  for (const Column& column : columns_) {
    const double width = (flow.width() - indent) * column.share / shares;
    lefts_.push_back(x);
    widths_.push_back(width - (&column == &columns_.back() ? 0 : gutter));
    x += width;
  }
}

// Without cells the rows of a page are one paragraph, which the first of them begins.
void Table::begin_row() {
  if (flow_.tags_cells()) flow_.canvas().begin(PageRole::row);
}

void Table::end_row() {
  if (flow_.tags_cells()) flow_.canvas().end();
}

void Table::begin_cell(PageRole role) {
  if (flow_.tags_cells()) flow_.canvas().begin(role);
}

void Table::title_of(std::size_t column, const std::vector<std::string>& lines, std::size_t deepest) {
  const TextStyle style{Face::serif_italic, size_ + 0.2};
  const bool right = columns_[column].align == Align::right;
  const double x = right ? lefts_[column] + widths_[column] : lefts_[column];
  for (std::size_t line = 0; line < lines.size(); ++line) {
    const double y = flow_.y() + style.size * 1.1 * static_cast<double>(line + 1 + deepest - lines.size());
    flow_.canvas().text({{x, y}, widths_[column] + gutter, columns_[column].align}, style, Ink::grey,
                        lines[line]);
  }
}

// A head that comes again on the next page is read out once.
void Table::head() {
  const TextStyle style{Face::serif_italic, size_ + 0.2};
  std::vector<std::vector<std::string>> titles;
  std::size_t deepest = 1;
  for (std::size_t i = 0; i < columns_.size(); ++i) {
    titles.push_back(flow_.canvas().typesetter().wrapped(style, flow_.words().say(columns_[i].title),
                                                         widths_[i] + gutter - 1));
    deepest = std::max(deepest, titles.back().size());
  }
  const bool first = !std::exchange(headed_, true);
  if (first) {
    flow_.canvas().begin(flow_.tags_cells() ? PageRole::table : PageRole::paragraph);
    begin_row();
  } else {
    flow_.canvas().furniture();
  }
  flow_.count_cells(first ? columns_.size() : 0);
  flow_.advance(2);
  for (std::size_t i = 0; i < columns_.size(); ++i) {
    if (first) begin_cell(PageRole::head_cell);
    title_of(i, titles[i], deepest);
  }
  flow_.canvas().end();
  flow_.advance(style.size * 1.1 * static_cast<double>(deepest) + 4);
  flow_.canvas().line({flow_.left() + indent_, flow_.y()}, {flow_.right(), flow_.y()}, 0.6, Ink::ink);
  flow_.advance(2);
}

void Table::flush_page_break(double height) {
  if (flow_.need(height)) head();
}

void Table::line_of(const TableCell& cell, std::size_t column, double baseline, std::string_view text) {
  double x = lefts_[column];
  double room = widths_[column];
  if (cell.mark || cell.chip != 0) {
    const double indent = size_ * 1.3;
    x += indent;
    room -= indent;
  }
  const bool right = columns_[column].align == Align::right;
  flow_.canvas().text(
      {{right ? lefts_[column] + widths_[column] : x, baseline}, room + 0.5, columns_[column].align},
      {cell.face, size_}, cell.ink, text);
}

void Table::shapes_of(const TableCell& cell, std::size_t column, double baseline) {
  const double middle = baseline - size_ * 0.34;
  const double x = lefts_[column];
  if (cell.mark) flow_.canvas().mark(*cell.mark, {x + size_ * 0.4, middle}, size_ * 0.37);
  if (cell.chip != 0) flow_.canvas().chip(cell.chip, {x, middle - size_ * 0.33, size_ * 0.95, size_ * 0.66});
}

void Table::row(std::span<const TableCell> cells) {
  flush_page_break(pitch());
  last_ = {flow_.left() + indent_, flow_.y(), flow_.width() - indent_, pitch()};
  const double baseline = flow_.y() + pitch() * 0.72;
  begin_row();
  for (std::size_t i = 0; i < cells.size(); ++i) {
    begin_cell(PageRole::cell);
    shapes_of(cells[i], i, baseline);
    line_of(cells[i], i, baseline, cells[i].text);
  }
  end_row();
  flow_.count_cells(cells.size());
  flow_.advance(pitch());
}

void Table::set_lines(std::span<const TableCell> cells, const std::vector<std::vector<std::string>>& texts,
                      std::size_t from, std::size_t count) {
  last_ = {flow_.left() + indent_, flow_.y(), flow_.width() - indent_, pitch() * static_cast<double>(count)};
  begin_row();
  for (std::size_t i = 0; i < cells.size(); ++i) {
    double baseline = flow_.y() + pitch() * 0.72;
    begin_cell(PageRole::cell);
    if (from == 0) shapes_of(cells[i], i, baseline);
    for (std::size_t line = from; line < std::min(from + count, texts[i].size()); ++line) {
      line_of(cells[i], i, baseline, texts[i][line]);
      baseline += pitch();
    }
  }
  end_row();
  flow_.count_cells(cells.size());
  flow_.advance(last_.height);
}

// A short row is kept together; a long one may break, as it might not fit on any page.
void Table::wrapped_row(std::span<const TableCell> cells) {
  std::vector<std::vector<std::string>> texts;
  std::size_t deepest = 1;
  for (std::size_t i = 0; i < cells.size(); ++i) {
    const double indent = cells[i].mark || cells[i].chip != 0 ? size_ * 1.3 : 0;
    texts.push_back(
        flow_.canvas().typesetter().wrapped({cells[i].face, size_}, cells[i].text, widths_[i] - indent));
    deepest = std::max(deepest, texts.back().size());
  }
  flush_page_break(pitch() * static_cast<double>(std::min<std::size_t>(deepest, 8)));
  for (std::size_t line = 0; line < deepest;) {
    flush_page_break(pitch());
    const auto fitting = static_cast<std::size_t>(std::max(1.0, flow_.room() / pitch() + 1e-9));
    const std::size_t count = std::min(fitting, deepest - line);
    set_lines(cells, texts, line, count);
    line += count;
  }
  flow_.advance(1.5);
}

void Table::rule(Ink ink, double weight) {
  flow_.canvas().line({flow_.left() + indent_, flow_.y()}, {flow_.right(), flow_.y()}, weight, ink);
}

}  // namespace strandbook
