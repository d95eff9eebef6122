#include "edge/report/budget_bar.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "edge/report/legible.hpp"

namespace strandbook {
namespace {

constexpr TextStyle axis_label{Face::sans, 7.2};
constexpr TextStyle strong_label{Face::sans_bold, 7.6};
constexpr double parts_top = 11;
constexpr double parts_height = 11;
constexpr double loss_top = 25;
constexpr double loss_height = 7;
constexpr double axis_top = 41;

/// Decibels to points along the box.
struct Axis {
  Box box;
  double from = 0;
  double to = 1;
  double at(double db) const { return box.x + box.width * (std::clamp(db, from, to) - from) / (to - from); }
};

double finite_or_zero(double value) { return std::isfinite(value) ? value : 0; }

Axis axis_of(const Box& box, const BudgetPicture& picture) {
  double least = 0;
  double most = 0.1;
  if (picture.limit != nullptr) {
    double added = 0;
    for (const LimitTerm& term : picture.limit->working)
      added += std::max(0.0, finite_or_zero(term.total.value));
    const double limit = finite_or_zero(picture.limit->value.value);
    most = std::max({most, added, limit});
    least = std::min(least, limit);
  }
  if (picture.loss) {
    const double loss = finite_or_zero(picture.loss->value);
    const double spread = finite_or_zero(picture.expanded_uncertainty.value);
    most = std::max(most, loss + spread);
    least = std::min(least, loss - spread);
  }
  const double room = (most - least) * 0.06;
  return {box, least < 0 ? least - room : 0, most + room};
}

void scale(Canvas& canvas, const Axis& axis, const Wording& words) {
  const double y = axis.box.y + axis_top;
  canvas.line({axis.box.x, y}, {axis.box.x + axis.box.width, y}, 0.5, Ink::grey);
  const double step = axis_step(axis.to - axis.from);
  const int decimals = std::max(0, static_cast<int>(std::ceil(-std::log10(step) - 1e-9)));
  for (double tick = std::ceil(axis.from / step) * step; tick <= axis.to; tick += step) {
    canvas.line({axis.at(tick), y}, {axis.at(tick), y + 2.5}, 0.5, Ink::grey);
    if (axis.at(tick) > axis.box.x + axis.box.width - 16) continue;  // the unit stands there
    canvas.text({{axis.at(tick), y + 9.5}, 60, Align::centre}, axis_label, Ink::grey,
                words.decimal(tick, decimals));
  }
  canvas.text({{axis.box.x + axis.box.width, y + 9.5}, 20, Align::right}, axis_label, Ink::grey, "dB");
}

/// "end connections 1.50" where it fits, else the number, else nothing.
void part_label(Canvas& canvas, const Box& part, const LimitTerm& term, const Wording& words) {
  const std::string number = words.decimal(term.total.value, 2);
  const std::string whole = words.say(term.term) + " " + number;
  const Point middle{part.x + part.width / 2, part.y + part.height - 3.3};
  for (const std::string& text : {whole, number}) {
    if (canvas.typesetter().width(axis_label, text) > part.width - 4) continue;
    canvas.text({middle, part.width, Align::centre}, axis_label, Ink::ink, text);
    return;
  }
}

// Neighbours differ in tone and are parted by a line, so that they are told apart on any printer.
void parts(Canvas& canvas, const Axis& axis, const Limit& limit, const Wording& words) {
  double sum = 0;
  std::size_t number = 0;
  // What is taken away comes last, so that its hatching covers the end of the sum and no part's name.
  std::vector<LimitTerm> order = limit.working;
  std::stable_partition(order.begin(), order.end(),
                        [](const LimitTerm& term) { return term.total.value >= 0; });
  const bool subtracts = !order.empty() && order.back().total.value < 0;
  for (const LimitTerm& term : order) {
    const double next = sum + finite_or_zero(term.total.value);
    const double left = axis.at(std::min(sum, next));
    const Box part{left, axis.box.y + parts_top, axis.at(std::max(sum, next)) - left, parts_height};
    const bool taken_away = next < sum;
    sum = next;
    if (part.width < 0.05) continue;
    if (taken_away) {
      canvas.fill(part, Ink::paper);
      canvas.hatch(part, Ink::grey);
    } else {
      canvas.fill(part, number++ % 2 == 0 ? Ink::hairline : Ink::tint);
    }
    canvas.frame(part, 0.5, Ink::ink);
    if (taken_away) continue;
    Box seen = part;
    if (subtracts) seen.width = std::min(part.width, axis.at(limit.value.value) - part.x);
    part_label(canvas, seen, term, words);
  }
}

void loss_bar(Canvas& canvas, const Axis& axis, double loss, double spread) {
  const double y = axis.box.y + loss_top;
  const double zero = axis.at(0);
  const double end = axis.at(loss);
  canvas.fill({std::min(zero, end), y, std::abs(end - zero), loss_height}, Ink::ink);
  if (spread <= 0) return;
  const double middle = y + loss_height / 2;
  const double inner = std::max(zero, axis.at(loss - spread));
  canvas.line({inner, middle}, {end, middle}, 1, Ink::paper);
  canvas.line({end, middle}, {axis.at(loss + spread), middle}, 1, Ink::ink);
  for (const double side : {loss - spread, loss + spread}) {
    const Ink ink = side < loss && side > 0 ? Ink::paper : Ink::ink;
    canvas.line({axis.at(side), y + 0.5}, {axis.at(side), y + loss_height - 0.5}, 1, ink);
  }
}

void limit_line(Canvas& canvas, const Axis& axis, double limit, const Wording& words) {
  const double x = axis.at(limit);
  canvas.line({x, axis.box.y + parts_top - 3}, {x, axis.box.y + axis_top}, 1.3, Ink::accent);
  const std::string text = words.say("limit") + " " + words.decimal(limit, 2);
  const double half = canvas.typesetter().width(strong_label, text) / 2;
  const double centre = std::clamp(x, axis.box.x + half, axis.box.x + axis.box.width - half);
  canvas.text({{centre, axis.box.y + 6}, 90, Align::centre}, strong_label, Ink::accent, text);
}

/// The bar in words, for whoever cannot see it.
std::string bar_told(const BudgetPicture& picture, const Wording& words) {
  const double spread = picture.expanded_uncertainty.value;
  if (picture.limit == nullptr)
    return words.say(fmt::format("Bar: loss {} dB with U {} dB, no limit.",
                                 decimal_text(picture.loss.value_or(Decibels{}).value, 2),
                                 decimal_text(spread, 2)));
  const double limit = picture.limit->value.value;
  if (!picture.loss) return words.say(fmt::format("Bar: limit {} dB, no loss.", decimal_text(limit, 2)));
  return words.say(fmt::format("Bar: loss {} dB with U {} dB, limit {} dB.",
                               decimal_text(picture.loss->value, 2), decimal_text(spread, 2),
                               decimal_text(limit, 2)));
}

}  // namespace

double axis_step(double range) {
  const double rough = range / 8;
  const double power = std::pow(10, std::floor(std::log10(rough)));
  const double lead = rough / power;
  return power * (lead <= 1 ? 1 : lead <= 2 ? 2 : lead <= 5 ? 5 : 10);
}

void draw_budget_bar(Canvas& canvas, const Box& box, const BudgetPicture& picture, const Wording& words) {
  if (canvas.measuring()) return;
  canvas.figure([&] { return bar_told(picture, words); });
  const Axis axis = axis_of(box, picture);
  if (picture.limit != nullptr) parts(canvas, axis, *picture.limit, words);
  if (picture.loss)
    loss_bar(canvas, axis, finite_or_zero(picture.loss->value),
             finite_or_zero(picture.expanded_uncertainty.value));
  scale(canvas, axis, words);
  if (picture.limit != nullptr) limit_line(canvas, axis, finite_or_zero(picture.limit->value.value), words);
  canvas.end();
}

}  // namespace strandbook
