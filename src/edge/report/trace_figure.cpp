#include "edge/report/trace_figure.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "edge/report/legible.hpp"

namespace strandbook {
namespace {

constexpr TextStyle axis_label{Face::sans, 7.2};
constexpr double strip_height = 24;
constexpr double curve_height = 128;
constexpr double scale_width = 26;  // room for decibels
constexpr double column_width = 0.6;

/// Least and greatest level over one column of the picture.
struct Column {
  double low = 1e300;
  double high = -1e300;
  bool drawn() const { return low <= high; }
};

/// One trace over the axis of the picture, its levels counted from the fibre's light near its own end.
struct Curve {
  Ink ink = Ink::ink;
  bool from_a = true;
  std::vector<Column> columns;
  std::size_t first = 0;  ///< columns of the link's fibre: noise behind a break, cords left out
  std::size_t last = 0;
};

struct Axis {
  Box box;
  double from = 0, to = 1;   // metres from A
  double low = 0, high = 1;  // dB
  double x(double metres) const { return box.x + box.width * (metres - from) / (to - from); }
  double y(double level) const {
    return box.y + box.height * std::clamp((high - level) / (high - low), 0.0, 1.0);
  }
};

/// The level that one sample in ten lies above: near the fibre's beginning, peaks left out.
double top_of(std::vector<double> levels) {
  if (levels.empty()) return 0;
  const auto at = levels.begin() + static_cast<std::ptrdiff_t>(levels.size() * 9 / 10);
  std::nth_element(levels.begin(), at, levels.end());
  return *at;
}

Curve curve_of(const TraceSamples& samples, Direction from, double length, const Axis& axis) {
  Curve curve;
  curve.from_a = from == Direction::a_to_b;
  curve.ink = curve.from_a ? Ink::ink : Ink::accent;
  curve.columns.resize(static_cast<std::size_t>(axis.box.width / column_width));
  const double top = top_of(samples.level_db);
  const double per_metre = static_cast<double>(curve.columns.size()) / (axis.to - axis.from);
  for (std::size_t k = 0; k < samples.level_db.size(); ++k) {
    const double along = samples.first.value + samples.step.value * static_cast<double>(k);
    const double at = ((curve.from_a ? along : length - along) - axis.from) * per_metre;
    if (at < 0 || at >= static_cast<double>(curve.columns.size())) continue;
    Column& column = curve.columns[static_cast<std::size_t>(at)];
    column.low = std::min(column.low, samples.level_db[k] - top);
    column.high = std::max(column.high, samples.level_db[k] - top);
  }
  return curve;
}

/// A level that this share of the columns stays below.
double level_at(std::vector<double>& levels, double share) {
  const auto at =
      levels.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(levels.size() - 1));
  std::nth_element(levels.begin(), at, levels.end());
  return *at;
}

/// The fibre's own light fills the picture, so that a splice can be seen: peaks go out of it at the top, the
/// noise behind the end at the foot.
void set_levels(const std::vector<Curve>& curves, Axis& axis) {
  std::vector<double> levels;
  for (const Curve& curve : curves)
    for (std::size_t i = curve.first; i < curve.last; ++i)
      if (const Column& column = curve.columns[i]; column.drawn())
        levels.push_back((column.low + column.high) / 2);
  if (levels.empty()) return;
  const double foot = level_at(levels, 0.08);
  const double head = level_at(levels, 0.92);
  const double room = std::max(0.4 * (head - foot), 0.5);
  axis.low = foot - room;
  constexpr double over_cords = 0.15;  // the light near each side's own end counts as 0
  axis.high = std::max(head + room, over_cords);
}

/// A round step that gives about so many marks.
double round_step(double span, double marks) {
  const double rough = span / marks;
  const double tens = std::pow(10, std::floor(std::log10(rough)));
  for (const double each : {1.0, 2.0, 5.0})
    if (each * tens >= rough) return each * tens;
  return 10 * tens;
}

void draw_scales(Canvas& canvas, const Axis& axis, const Wording& words) {
  const Box& box = axis.box;
  const double db_step = round_step(axis.high - axis.low, 5);
  for (double level = std::ceil(axis.low / db_step) * db_step; level <= axis.high; level += db_step) {
    canvas.line({box.x, axis.y(level)}, {box.x + box.width, axis.y(level)}, 0.3, Ink::hairline);
    canvas.text({{box.x - 4, axis.y(level) + 2.5}, scale_width, Align::right}, axis_label, Ink::grey,
                words.decimal(level + 0.0, db_step < 1 ? 1 : 0));
  }
  const double metre_step = round_step(axis.to - axis.from, 7);
  for (double at = std::ceil(axis.from / metre_step) * metre_step; at <= axis.to; at += metre_step) {
    canvas.line({axis.x(at), box.y + box.height}, {axis.x(at), box.y + box.height + 3}, 0.5, Ink::grey);
    if (axis.x(at) < box.x + box.width - 28)
      canvas.text({{axis.x(at), box.y + box.height + 11}, 60, Align::centre}, axis_label, Ink::grey,
                  words.plain(at + 0.0));
  }
  canvas.text({{box.x + box.width, box.y + box.height + 11}, 60, Align::right}, axis_label, Ink::grey,
              words.say("m from A"));
  canvas.text({{box.x - 4, box.y - 3}, scale_width, Align::right}, axis_label, Ink::grey, "dB");
  canvas.frame(box, 0.5, Ink::grey);
}

void draw_curve(Canvas& canvas, const Axis& axis, const Curve& curve) {
  std::vector<Point> line;
  line.reserve(2 * curve.columns.size());
  double last = 0;
  for (std::size_t i = 0; i < curve.columns.size(); ++i) {
    const Column& column = curve.columns[i];
    if (!column.drawn()) continue;
    const double x = axis.box.x + column_width * (static_cast<double>(i) + 0.5);
    const double low = axis.y(column.low), high = axis.y(column.high);
    // The nearer end of the column first.
    const bool from_low = std::abs(low - last) < std::abs(high - last);
    line.push_back({x, from_low ? low : high});
    if (high != low) line.push_back({x, from_low ? high : low});
    last = line.back().y;
  }
  canvas.polyline(line, curve.from_a ? 0.9 : 0.5, curve.ink);
}

/// "A" and "B" in the ink of the curve, where its light goes in.
void draw_name(Canvas& canvas, const Axis& axis, const Curve& curve) {
  constexpr TextStyle name{Face::sans, 9};
  const double y = axis.box.y + 0.55 * axis.box.height;  // between both ends of the cords
  if (curve.from_a)
    canvas.text({{axis.box.x + 5, y}}, name, curve.ink, "A");
  else
    canvas.text({{axis.box.x + axis.box.width - 5, y}, 1e9, Align::right}, name, curve.ink, "B");
}

std::ptrdiff_t beyond_limit(const JudgedTraces& judged) {
  return std::count_if(judged.splices.begin(), judged.splices.end(),
                       [](const JudgedSplice& splice) { return splice.verdict == SpliceVerdict::beyond; });
}

/// A stroke for each event; one beyond its limit stands out by height and ink.
void draw_events(Canvas& canvas, const JudgedTraces& judged, double middle,
                 const std::function<double(double)>& x_of) {
  for (std::size_t i = 0; i < judged.seen.events.size(); ++i) {
    const TwoWayEvent& event = judged.seen.events[i];
    const double at = x_of(event.position.value);
    const bool beyond = i < judged.splices.size() && judged.splices[i].verdict == SpliceVerdict::beyond;
    const bool joint = event.kind == EventKind::reflective || event.kind == EventKind::end_of_fibre;
    const double half = beyond ? 9 : joint ? 6 : 4;
    canvas.line({at, middle - half}, {at, middle + half}, beyond ? 2 : 0.9, beyond ? Ink::accent : Ink::ink);
  }
}

void draw_strip(Canvas& canvas, const JudgedTraces& judged, double left, double right, double middle,
                const std::function<double(double)>& x_of) {
  canvas.text({{left - 14, middle + 2.6}}, axis_label, Ink::grey, "A");
  canvas.text({{right + 14, middle + 2.6}, 1e9, Align::right}, axis_label, Ink::grey, "B");
  canvas.line({left, middle}, {right, middle}, 1.1, Ink::ink);
  draw_events(canvas, judged, middle, x_of);
}

void mark_fibre(const JudgedTraces& judged, const Axis& axis, Curve& curve) {
  double from = 0, to = judged.seen.length.value;
  if (judged.broken && curve.from_a && judged.broken->from_a) to = judged.broken->from_a->value;
  if (judged.broken && !curve.from_a && judged.broken->from_b) from = to - judged.broken->from_b->value;
  const auto column = [&](double metres) {
    const double share = (metres - axis.from) / (axis.to - axis.from);
    return static_cast<std::size_t>(std::clamp(share, 0.0, 1.0) * static_cast<double>(curve.columns.size()));
  };
  curve.first = column(from);
  curve.last = column(to);
}

std::vector<Curve> curves_of(const ReportPass& pass, const JudgedTraces& judged, const Axis& axis) {
  std::vector<Curve> curves;
  if (!pass.options.samples || pass.flow.canvas().measuring()) return curves;
  for (const std::uint32_t at : {judged.from_a, judged.from_b}) {
    if (at == nothing) continue;
    const HeldTrace& trace = pass.view.all.traces[at];
    const auto samples = pass.options.samples(trace);
    if (!samples) continue;
    curves.push_back(curve_of(*samples, trace.from(), judged.seen.length.value, axis));
    mark_fibre(judged, axis, curves.back());
  }
  return curves;
}

}  // namespace

void draw_traces(const ReportPass& pass, const JudgedTraces& judged) {
  Flow& flow = pass.flow;
  Canvas& canvas = flow.canvas();
  const bool with_curves = static_cast<bool>(pass.options.samples);
  flow.need(strip_height + (with_curves ? curve_height : 0));
  const double left = flow.left() + scale_width, right = flow.right() - 14;
  const double length = std::max(judged.seen.length.value, 1e-3);
  Axis axis{
      {left, flow.y() + strip_height + 4, right - left, curve_height - 24}, -0.04 * length, 1.06 * length};
  if (!with_curves) axis.from = 0, axis.to = length;
  const std::vector<Curve> curves = curves_of(pass, judged, axis);
  canvas.figure([&] {
    return pass.words.say(fmt::format("The link from A to B with {} events, {} of them beyond a limit.",
                                      judged.seen.events.size(), beyond_limit(judged)));
  });
  const auto x_of = [&](double metres) { return axis.x(std::clamp(metres, 0.0, length)); };
  draw_strip(canvas, judged, x_of(0), x_of(length), flow.y() + 12, x_of);
  if (!curves.empty()) {
    set_levels(curves, axis);
    draw_scales(canvas, axis, pass.words);
    for (const Curve& curve : curves) {
      draw_curve(canvas, axis, curve);
      draw_name(canvas, axis, curve);
    }
  } else if (with_curves) {
    canvas.text({{left, axis.box.y + 20}}, axis_label, Ink::grey,
                pass.words.say("The samples of these traces cannot be read: their file is missing."));
  }
  canvas.end();
  flow.advance(strip_height + (with_curves ? curve_height : 0));
}

}  // namespace strandbook
