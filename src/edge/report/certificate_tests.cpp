#include "edge/report/certificate_tests.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <limits>

#include "edge/report/legible.hpp"
#include "edge/report/outcome_mark.hpp"
#include "edge/report/words.hpp"

namespace strandbook {
namespace {

constexpr double pitch_of_rows = 8.3;
constexpr double head_height = 13;
constexpr double gutter_of_columns = 16;
constexpr TextStyle row_style{Face::sans, 6.9};
constexpr TextStyle row_head_style{Face::serif_italic, 7.2};

/// Places of one column's cells, from its left edge.
struct RowPlaces {
  double strand_room;
  double wavelength;
  double direction;
  double loss;
  double spread;
  double limit;
  double bar;
  double bar_width;
  double outcome;
  double outcome_room;
};

RowPlaces places_of(double width) {
  const double words = std::max(44.0, width * 0.2);
  const double bar = std::max(24.0, width * (width > 320 ? 0.42 : 0.2));
  const double outcome = width - words;
  const double bar_left = outcome - bar - 6;
  const double step = 25;
  return {bar_left - 5 - 4 * step - 22,
          bar_left - 5 - 3 * step - 20,
          bar_left - 5 - 3 * step - 16,
          bar_left - 5 - 2 * step,
          bar_left - 5 - step,
          bar_left - 5,
          bar_left,
          bar,
          outcome,
          words};
}

void heads(const ReportPass& pass, Point at, const RowPlaces& places, double width) {
  Canvas& canvas = pass.flow.canvas();
  const double y = at.y + 8.5;
  canvas.begin(PageRole::paragraph);
  const auto head = [&](double x, std::string_view text, Align align) {
    canvas.text({{at.x + x, y}, 60, align}, row_head_style, Ink::grey, pass.words.say(text));
  };
  head(0, "strand", Align::left);
  head(places.wavelength, "nm", Align::right);
  head(places.loss, "loss", Align::right);
  head(places.spread, "\u00B1 U", Align::right);
  head(places.limit, "limit", Align::right);
  head(places.bar, "loss in limit", Align::left);
  head(places.outcome, "outcome", Align::left);
  canvas.line({at.x, at.y + head_height - 2}, {at.x + width, at.y + head_height - 2}, 0.5, Ink::ink);
}

/// Loss as a bar, its uncertainty as a whisker, the limit as an upright line at two thirds of the room.
void small_bar(Canvas& canvas, const Box& box, Decibels loss, Decibels spread, Decibels limit) {
  if (limit.value <= 0) return;
  const double scale = box.width * 2 / 3 / limit.value;
  const auto at = [&](double db) { return box.x + std::clamp(db * scale, 0.0, box.width); };
  const double middle = box.y + box.height / 2;
  canvas.line({box.x, middle}, {at(loss.value), middle}, box.height * 0.55, Ink::ink);
  canvas.line({at(loss.value), middle}, {at(loss.value + spread.value), middle}, 0.6, Ink::ink);
  canvas.line({at(limit.value), box.y}, {at(limit.value), box.y + box.height}, 0.9, Ink::accent);
}

void test_line(const ReportPass& pass, const JudgedTest& test, Point at, const RowPlaces& places) {
  const Assessment& all = pass.view.all;
  const Limit* limit = limit_behind(all, test);
  const bool judged = margin_of(all, test).has_value();
  const Decibels spread = 2 * test.standard_uncertainty;
  Canvas& canvas = pass.flow.canvas();
  const double y = at.y + pitch_of_rows * 0.76;
  const auto cell = [&](double x, double room, Align align, std::string_view text, Ink ink = Ink::ink) {
    canvas.text({{at.x + x, y}, room, align}, row_style, ink, text);
  };
  cell(0, places.strand_room, Align::left, all.schedule[test.strand].strand);
  cell(places.wavelength, 24, Align::right, pass.words.plain(test.wavelength.value));
  if (test.direction) cell(places.direction, 20, Align::left, arrow_of(test.direction), Ink::grey);
  if (test.has_loss) {
    cell(places.loss, 24, Align::right, pass.words.decimal(test.loss.value, 2));
    cell(places.spread, 24, Align::right, pass.words.decimal(spread.value, 2), Ink::grey);
  }
  if (limit != nullptr) cell(places.limit, 24, Align::right, pass.words.decimal(limit->value.value, 2));
  if (judged)
    small_bar(canvas, {at.x + places.bar, at.y + 1.4, places.bar_width, pitch_of_rows - 2.8}, test.loss,
              spread, limit->value);
  canvas.mark(test.outcome, {at.x + places.outcome + 2.6, y - 2.3}, 2.3);
  cell(places.outcome + 8, places.outcome_room - 8, Align::left, pass.words.say(text_of(test.outcome)),
       is_beyond_limit(test.outcome) ? Ink::accent : Ink::ink);
}

/// The tests that stand on the page, in order of the schedule: all, or where they do not fit those that are
/// no pass and then the tightest.
std::vector<std::uint32_t> shown_tests(const ReportPass& pass, const LinkView& link, std::size_t room) {
  const auto tests = pass.view.tests_of(link);
  std::vector<std::uint32_t> order(tests.begin(), tests.end());
  if (order.size() <= room) return order;
  const Assessment& all = pass.view.all;
  const auto urgency = [&](std::uint32_t index) {
    const auto margin = margin_of(all, all.tests[index]);
    return std::pair(all.tests[index].outcome == Outcome::pass ? 1 : 0,
                     margin ? margin->value : -std::numeric_limits<double>::infinity());
  };
  std::stable_sort(order.begin(), order.end(),
                   [&](std::uint32_t a, std::uint32_t b) { return urgency(a) < urgency(b); });
  order.resize(room);
  std::sort(order.begin(), order.end());
  return order;
}

}  // namespace

void certificate_tests(const ReportPass& pass, const LinkView& link, const Box& box) {
  const double usable = box.height - head_height - 14;
  if (link.tests == 0 || usable < pitch_of_rows) return;
  const auto per_column = static_cast<std::size_t>(usable / pitch_of_rows);
  const bool one_column = link.tests <= per_column;
  const double width = one_column ? box.width : (box.width - gutter_of_columns) / 2;
  const auto tests = shown_tests(pass, link, one_column ? per_column : 2 * per_column);
  const RowPlaces places = places_of(width);
  const bool each_tagged = pass.view.all.tests.size() <= most_tagged_cells;
  const std::size_t rows = one_column ? tests.size() : (tests.size() + 1) / 2;
  for (std::size_t i = 0; i < tests.size(); ++i) {
    const double x = box.x + (i < rows ? 0 : width + gutter_of_columns);
    const std::size_t row = i % rows;
    if (row == 0) heads(pass, {x, box.y}, places, width);
    if (row == 0 || each_tagged) pass.flow.canvas().begin(PageRole::paragraph);
    test_line(pass, pass.view.all.tests[tests[i]],
              {x, box.y + head_height + pitch_of_rows * static_cast<double>(row)}, places);
  }
  if (tests.size() == link.tests) return;
  pass.flow.canvas().begin(PageRole::paragraph);
  pass.flow.canvas().text(
      {{box.x, box.y + box.height - 3}, box.width, Align::left}, note_style, Ink::accent,
      pass.words.say(
          fmt::format("{} of {} tests stand here: those that did not pass, then the tightest. All of them "
                      "are in the report.",
                      tests.size(), link.tests)));
}

}  // namespace strandbook
