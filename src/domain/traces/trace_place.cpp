#include "domain/traces/trace_place.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace strandbook {
namespace {

constexpr double drawing_tolerance = 0.03;  ///< of the distance

std::optional<LinkEvent> event_near(const TraceLink& link, Metres place, double tolerance) {
  std::optional<LinkEvent> best;
  for (const LinkEvent& event : link.events) {
    const double off = std::abs(event.position.value - place.value);
    if (event.kind != EventKind::end_of_fibre && off <= tolerance &&
        (!best || off < std::abs(best->position.value - place.value)))
      best = event;
  }
  return best;
}

std::string why_not_measured(const TraceLink& link, Metres place) {
  if (place.value <= 0 && !link.near_end_measured) return "not measured: there is no launch cord";
  if (place >= link.length && !link.far_end_measured) return "not measured: there is no receive cord";
  if (place.value > 0 && place < link.blind)
    return fmt::format("not measured: within the dead zone of {:.1f} m; a flat trace there proves nothing",
                       link.blind.value);
  for (const LinkEvent& event : link.events)
    if (event.position < place && place < event.until && place < link.length)
      return fmt::format("not measured: hidden behind the event at {:.1f} m up to {:.1f} m",
                         event.position.value, event.until.value);
  return {};
}

std::optional<Decibels> detectable_at(const TraceAnalysis& analysis, double metres) {
  for (const TraceSection& section : analysis.sections)
    if (section.from.value <= metres && metres <= section.to.value) return section.detectable;
  return std::nullopt;
}

}  // namespace

PlaceInTrace look_at_place(const Trace& trace, const TraceAnalysis& analysis, const TraceLink& link,
                           Metres place) {
  PlaceInTrace found{place, {}, {}, {}};
  // Drawings and group index disagree about the far end: within the tolerance of it means the end.
  const double tolerance =
      2 * shown_pulse_m(trace.settings.pulse_ns, trace.settings.index) + drawing_tolerance * place.value;
  const bool far_end = std::abs(place.value - link.length.value) <= tolerance;
  found.event = event_near(link, place, tolerance);
  if (found.event && found.event->loss) return found;
  found.not_measured = why_not_measured(link, far_end ? std::max(place, link.length) : place);
  if (!found.event && found.not_measured.empty())
    found.detectable = detectable_at(analysis, link.start.value + place.value);
  if (!found.event && !found.detectable && found.not_measured.empty())
    found.not_measured = "not measured: the trace shows no fibre here";
  return found;
}

std::string describe(const PlaceInTrace& place) {
  if (!place.not_measured.empty()) return place.not_measured;
  if (!place.event)
    return fmt::format("no step of {:.3f} dB or more", place.detectable.value_or(Decibels{}).value);
  const std::string where =
      fmt::format("{} at {:.1f} m", text_of(place.event->kind), place.event->position.value);
  if (!place.event->loss) return where + ", whose loss cannot be told";
  return fmt::format("{:.3f} ± {:.3f} dB (k = 2), {}", place.event->loss->value,
                     2 * place.event->loss->standard_uncertainty, where);
}

}  // namespace strandbook
