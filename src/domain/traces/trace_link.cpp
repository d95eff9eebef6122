#include "domain/traces/trace_link.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace strandbook {
namespace {

constexpr double cord_tolerance = 0.03;  ///< of its length: group index and excess together

using Events = std::vector<const TraceEvent*>;

Events on_fibre(const TraceAnalysis& analysis) {
  Events events;
  for (const TraceEvent& event : analysis.events)
    if (event.kind != EventKind::ghost) events.push_back(&event);
  return events;
}

/// The event nearest to where a cord should end; null where none is near enough.
const TraceEvent* cord_end(const Events& events, double at, double tolerance) {
  const TraceEvent* best = nullptr;
  for (const TraceEvent* event : events) {
    const double off = std::abs(event->position.value - at);
    if (off <= tolerance && (best == nullptr || off < std::abs(best->position.value - at))) best = event;
  }
  return best;
}

LinkEvent link_event(const TraceEvent& event, double start) {
  return {event.kind,
          {event.position.value - start},
          {event.until.value - start},
          event.loss,
          event.reflectance,
          event.saturated};
}

/// Events and fibre between `from` and `to`, both events counted.
std::optional<Measured> loss_of(const TraceAnalysis& analysis, double from, double to) {
  double sum = 0;
  double variance = 0;
  for (const TraceEvent& event : analysis.events) {
    if (event.kind == EventKind::ghost || event.position.value < from || event.position.value > to) continue;
    if (event.kind == EventKind::end_of_fibre) continue;
    if (!event.loss) return std::nullopt;
    sum += event.loss->value;
    variance += event.loss->standard_uncertainty * event.loss->standard_uncertainty;
  }
  for (const TraceSection& section : analysis.sections) {
    const double length = section.to.value - section.from.value;
    const double within = std::min(section.to.value, to) - std::max(section.from.value, from);
    if (!(length > 0) || within <= 0) continue;
    sum += section.loss.value * within / length;
    const double u = section.loss.standard_uncertainty * within / length;
    variance += u * u;
  }
  return Measured{sum, std::sqrt(variance)};
}

void take_launch_cord(const Trace& trace, const Events& events, TraceLink& link) {
  if (!trace.settings.launch || !(trace.settings.launch->value > 0)) return;
  const double pulse = shown_pulse_m(trace.settings.pulse_ns, trace.settings.index);
  const double at = trace.settings.launch->value;
  const TraceEvent* first = cord_end(events, at, 2 * pulse + cord_tolerance * at);
  link.start = first != nullptr ? first->position : *trace.settings.launch;
  link.near_end_measured = first != nullptr && first->loss.has_value();
  link.blind = {0};
  if (first == nullptr)
    link.notes.push_back(fmt::format("No event is seen at the end of the launch cord ({:.1f} m).", at));
}

/// Where the link stops and whether a receive cord is seen behind it.
struct FarEnd {
  double stop;
  bool cord_seen;
};

FarEnd take_receive_cord(const Trace& trace, const TraceAnalysis& analysis, const Events& events,
                         TraceLink& link) {
  const double end = analysis.length.value;
  const std::optional<Metres>& cord = trace.settings.receive;
  if (!cord || !(cord->value > 0) || analysis.end != EndState::found) return {end, false};
  const double pulse = shown_pulse_m(trace.settings.pulse_ns, trace.settings.index);
  const double at = end - cord->value;
  const TraceEvent* last = cord_end(events, at, 2 * pulse + cord_tolerance * cord->value);
  if (last == nullptr) {
    link.notes.push_back(
        fmt::format("No event is seen at the receive cord, {:.1f} m before the end.", end - at));
    return {at, false};
  }
  link.far_end_measured = last->loss.has_value();
  return {last->position.value, true};
}

}  // namespace

TraceLink link_of(const Trace& trace, const TraceAnalysis& analysis) {
  TraceLink link;
  const Events events = on_fibre(analysis);
  link.blind = {analysis.sections.empty() ? 0 : analysis.sections.front().from.value};
  take_launch_cord(trace, events, link);
  const FarEnd far = take_receive_cord(trace, analysis, events, link);
  if (!link.near_end_measured)
    link.notes.emplace_back(
        "The first connection is not measured: that takes a launch cord longer than the dead zone.");
  if (!link.far_end_measured)
    link.notes.emplace_back("The last connection is not measured: that takes a receive cord.");
  const double start = link.start.value;
  link.length = {far.stop - start};
  if (!far.cord_seen && analysis.end == EndState::found) link.ends = Metres{analysis.length.value - start};
  // Behind a place where no cord is seen the link may go on: what stands there is kept, but for the end.
  const auto of_link = [&](const TraceEvent& event) {
    const double at = event.position.value;
    return at >= start - 1e-6 &&
           (at <= far.stop + 1e-6 || (!far.cord_seen && event.kind != EventKind::end_of_fibre));
  };
  for (const TraceEvent* event : events)
    if (of_link(*event)) link.events.push_back(link_event(*event, start));
  if (analysis.end == EndState::found)
    link.loss = loss_of(analysis, start - 1e-6, far.stop + 1e-6);
  else
    link.notes.emplace_back("The trace does not reach the end: its sum is not that of the link.");
  return link;
}

}  // namespace strandbook
