#include "edge/report/table.hpp"

#include <algorithm>

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

void Table::head() {
  const TextStyle style{Face::serif_italic, size_ + 0.2};
  std::vector<std::vector<std::string>> titles;
  std::size_t deepest = 1;
  for (std::size_t i = 0; i < columns_.size(); ++i) {
    titles.push_back(flow_.canvas().typesetter().wrapped(style, flow_.words().say(columns_[i].title),
                                                         widths_[i] + gutter - 1));
    deepest = std::max(deepest, titles.back().size());
  }
  flow_.advance(2);
  for (std::size_t i = 0; i < columns_.size(); ++i) {
    for (std::size_t line = 0; line < titles[i].size(); ++line) {
      const double y =
          flow_.y() + style.size * 1.1 * static_cast<double>(line + 1 + deepest - titles[i].size());
      const bool right = columns_[i].align == Align::right;
      flow_.canvas().text(
          {{right ? lefts_[i] + widths_[i] : lefts_[i], y}, widths_[i] + gutter, columns_[i].align}, style,
          Ink::grey, titles[i][line]);
    }
  }
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

void Table::row(std::span<const TableCell> cells) {
  flush_page_break(pitch());
  last_ = {flow_.left() + indent_, flow_.y(), flow_.width() - indent_, pitch()};
  const double baseline = flow_.y() + pitch() * 0.72;
  for (std::size_t i = 0; i < cells.size(); ++i) {
    const TableCell& cell = cells[i];
    const double middle = baseline - size_ * 0.34;
    if (cell.mark) flow_.canvas().mark(*cell.mark, {lefts_[i] + size_ * 0.4, middle}, size_ * 0.37);
    if (cell.chip != 0)
      flow_.canvas().chip(cell.chip, {lefts_[i], middle - size_ * 0.33, size_ * 0.95, size_ * 0.66});
    line_of(cell, i, baseline, cell.text);
  }
  flow_.advance(pitch());
}

void Table::wrapped_row(std::span<const TableCell> cells) {
  std::vector<std::vector<std::string>> texts;
  std::size_t deepest = 1;
  for (std::size_t i = 0; i < cells.size(); ++i) {
    const double indent = cells[i].mark || cells[i].chip != 0 ? size_ * 1.3 : 0;
    texts.push_back(
        flow_.canvas().typesetter().wrapped({cells[i].face, size_}, cells[i].text, widths_[i] - indent));
    deepest = std::max(deepest, texts.back().size());
  }
  const double start = flow_.y();
  for (std::size_t line = 0; line < deepest; ++line) {
    std::vector<TableCell> shown(cells.begin(), cells.end());
    for (std::size_t i = 0; i < shown.size(); ++i) {
      shown[i].text = line < texts[i].size() ? texts[i][line] : "";
      if (line > 0) shown[i].mark.reset();
      if (line > 0) shown[i].chip = 0;
    }
    // A short row is kept together; a long one may break, as it might not fit on any page.
    if (line == 0) flush_page_break(pitch() * static_cast<double>(std::min<std::size_t>(deepest, 8)));
    row(shown);
  }
  if (flow_.y() > start) last_ = {flow_.left() + indent_, start, flow_.width() - indent_, flow_.y() - start};
  flow_.advance(1.5);
}

void Table::rule(Ink ink, double weight) {
  flow_.canvas().line({flow_.left() + indent_, flow_.y()}, {flow_.right(), flow_.y()}, weight, ink);
}

}  // namespace strandbook
