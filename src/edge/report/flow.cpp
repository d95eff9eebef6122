#include "edge/report/flow.hpp"

#include <fmt/format.h>

#include <utility>

#include "edge/report/legible.hpp"

namespace strandbook {
namespace {

constexpr TextStyle head_style{Face::serif_italic, 9};
constexpr TextStyle folio_style{Face::serif, 9};
constexpr TextStyle section_style{Face::serif, 21};
constexpr TextStyle number_style{Face::serif_italic, 21};
constexpr TextStyle heading_style{Face::serif_bold, 12};
constexpr double leading = 1.32;

}  // namespace

Flow::Flow(Canvas& canvas, Sheet sheet, const Trail* known, const Wording& words, std::string running_head,
           std::string foot, Progress progress)
    : canvas_(canvas),
      sheet_(sheet),
      known_(known),
      words_(words),
      running_head_(std::move(running_head)),
      foot_(std::move(foot)),
      progress_(std::move(progress)) {}

void Flow::heads() {
  const double head = 40;
  canvas_.furniture();
  canvas_.text({{left(), head}, width() * 0.6, Align::left}, head_style, Ink::grey, running_head_);
  canvas_.text({{right(), head}, width() * 0.38, Align::right}, head_style, Ink::grey, section_);
  canvas_.line({left(), head + 6}, {right(), head + 6}, 0.4, Ink::faint);
  const double foot = sheet_.height - 36;
  canvas_.line({left(), foot - 12}, {right(), foot - 12}, 0.4, Ink::faint);
  canvas_.text({{left(), foot}, width() * 0.7, Align::left}, head_style, Ink::grey, foot_);
  if (known_ != nullptr)
    canvas_.text({{right(), foot}, 200, Align::right}, folio_style, Ink::ink,
                 fmt::format("{} {} {}", trail_.pages + 1, words_.say("of"), known_->pages));
  canvas_.end();
}

void Flow::end_page() {
  if (!open_) return;
  canvas_.end();
  if (!plain_) heads();
  canvas_.show_page();
  ++trail_.pages;
  open_ = false;
  // While measuring nobody knows how many pages there will be.
  const double done = known_ == nullptr ? 0 : static_cast<double>(trail_.pages) / known_->pages;
  if (progress_ && !stopped_) stopped_ = !progress_(done);
}

void Flow::new_page() {
  end_page();
  open_ = true;
  plain_ = false;
  y_ = top();
}

void Flow::plain_page() {
  new_page();
  plain_ = true;
}

void Flow::finish() {
  canvas_.end();
  canvas_.finish();
  end_page();
  trail_.figures = canvas_.take_figures();
}

bool Flow::need(double height) {
  if (open_ && height <= room()) return false;
  new_page();
  return true;
}

void Flow::section(std::uint32_t index, std::string_view title) {
  end_page();
  section_ = words_.say(title);
  new_page();
  section_here(index, title);
}

void Flow::section_here(std::uint32_t index, std::string_view title, double height) {
  if (y_ > top()) advance(22);
  if (height > room()) end_page();
  if (!open_) section_ = words_.say(title);
  need(height);
  anchor({AnchorKind::section, index});
  outline(fmt::format("{} {}", index, words_.say(title)), 0);
  advance(18);
  const std::string number = std::to_string(index);
  canvas_.begin(PageRole::section);
  canvas_.begin(PageRole::title);
  canvas_.text({{left(), y_}}, number_style, Ink::accent, number);
  canvas_.text({{left() + 30, y_}, width() - 30, Align::left}, section_style, Ink::ink, words_.say(title));
  canvas_.end();
  advance(8);
  canvas_.line({left(), y_}, {right(), y_}, 1.1, Ink::ink);
  canvas_.line({left(), y_ + 2.2}, {right(), y_ + 2.2}, 0.35, Ink::ink);
  advance(18);
}

// Room for the heading, a table's head of three lines and its first row: no heading is left behind at the
// foot.
void Flow::heading(std::string_view text) {
  need(96);
  if (y_ > top() + 1) advance(10);
  advance(11);
  canvas_.begin(PageRole::heading);
  canvas_.text({{left(), y_}, width(), Align::left}, heading_style, Ink::ink, words_.say(text));
  canvas_.end();
  advance(8);
}

void Flow::paragraph(std::string_view text, const TextStyle& style, Ink ink) {
  paragraph_in({left(), 0, width(), 0}, text, style, ink);
  advance(style.size * 0.45);
}

// Where a page ends within a paragraph, the rest is one of its own.
void Flow::paragraph_in(const Box& column, std::string_view text, const TextStyle& style, Ink ink) {
  bool begun = false;
  for (const std::string& line : canvas_.typesetter().wrapped(style, words_.say(text), column.width)) {
    if (need(style.size * leading) || !begun) canvas_.begin(PageRole::paragraph);
    begun = true;
    advance(style.size * leading);
    canvas_.text({{column.x, y_ - style.size * 0.3}, column.width + 1, Align::left}, style, ink, line);
  }
  canvas_.end();
}

void Flow::anchor(Anchor anchor) { trail_.anchors[anchor.key()] = {trail_.pages, static_cast<float>(y_)}; }

void Flow::outline(std::string title, int depth) {
  trail_.outline.push_back({std::move(title), {trail_.pages, static_cast<float>(y_)}, depth});
}

void Flow::link(const Box& area, Anchor target) {
  if (known_ == nullptr) return;
  const auto found = known_->anchors.find(target.key());
  if (found != known_->anchors.end()) trail_.links.push_back({trail_.pages, area, found->second});
}

std::string Flow::page_of(Anchor anchor) const {
  if (known_ == nullptr) return {};
  const auto found = known_->anchors.find(anchor.key());
  return found == known_->anchors.end() ? "" : std::to_string(found->second.page + 1);
}

}  // namespace strandbook
