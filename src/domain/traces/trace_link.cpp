#include "domain/traces/trace_link.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace strandbook {
namespace {

constexpr double cord_tolerance = 0.03;  ///< of its length: group index and excess together

std::vector<const TraceEvent*> on_fibre(const TraceAnalysis& analysis) {
  std::vector<const TraceEvent*> events;
  for (const TraceEvent& event : analysis.events)
    if (event.kind != EventKind::ghost) events.push_back(&event);
  return events;
}

/// The event nearest to where a cord should end; null where none is near enough.
const TraceEvent* cord_end(const std::vector<const TraceEvent*>& events, double at, double tolerance) {
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

}  // namespace

TraceLink link_of(const Trace& trace, const TraceAnalysis& analysis) {
  TraceLink link;
  const std::vector<const TraceEvent*> events = on_fibre(analysis);
  const double pulse = shown_pulse_m(trace.settings.pulse_ns, trace.settings.index);
  const double end = analysis.length.value;
  double stop = end;
  bool cord_behind = false;
  link.blind = {analysis.sections.empty() ? 0 : analysis.sections.front().from.value};
  if (trace.settings.launch && trace.settings.launch->value > 0) {
    const double at = trace.settings.launch->value;
    const TraceEvent* first = cord_end(events, at, 2 * pulse + cord_tolerance * at);
    link.start = first != nullptr ? first->position : *trace.settings.launch;
    link.near_end_measured = first != nullptr && first->loss.has_value();
    link.blind = {0};
    if (first == nullptr)
      link.notes.push_back(fmt::format("No event is seen at the end of the launch cord ({:.1f} m).", at));
  }
  if (trace.settings.receive && trace.settings.receive->value > 0 && analysis.end == EndState::found) {
    const double at = end - trace.settings.receive->value;
    const TraceEvent* last = cord_end(events, at, 2 * pulse + cord_tolerance * trace.settings.receive->value);
    stop = last != nullptr ? last->position.value : at;
    cord_behind = last != nullptr;
    link.far_end_measured = last != nullptr && last->loss.has_value();
    if (last == nullptr)
      link.notes.push_back(
          fmt::format("No event is seen at the receive cord, {:.1f} m before the end.", end - at));
  }
  if (!link.near_end_measured)
    link.notes.emplace_back(
        "The first connection is not measured: that takes a launch cord longer than the dead zone.");
  if (!link.far_end_measured)
    link.notes.emplace_back("The last connection is not measured: that takes a receive cord.");
  link.length = {stop - link.start.value};
  if (!cord_behind && analysis.end == EndState::found) link.ends = Metres{end - link.start.value};
  const double last_place = cord_behind ? stop : end;
  for (const TraceEvent* event : events)
    if (event->position.value >= link.start.value - 1e-6 && event->position.value <= last_place + 1e-6)
      link.events.push_back(link_event(*event, link.start.value));
  if (analysis.end == EndState::found)
    link.loss = loss_of(analysis, link.start.value - 1e-6, stop + 1e-6);
  else
    link.notes.emplace_back("The trace does not reach the end: its sum is not that of the link.");
  return link;
}

}  // namespace strandbook
