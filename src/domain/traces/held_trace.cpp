#include "domain/traces/held_trace.hpp"

#include <algorithm>
#include <cmath>

namespace strandbook {

namespace {

/// What a section states that holds no information.
constexpr double unusable_section_db = 99;

/// Both ends are known only where a trace reaches the end. Where one does, its length holds for both; an
/// event that the other could not reach is bounded by nothing.
void unbound_beyond_reach(BothWays& both, const HeldTrace& a, const HeldTrace& b) {
  for (TwoWayEvent& event : both.events) {
    if (!event.one_side_only()) continue;
    const double position = event.position.value;
    const bool seen_from_a = event.from_a.has_value();
    const bool reached = seen_from_a
                             ? b.end == EndState::found || both.length.value - position < b.seen.length.value
                             : a.end == EndState::found || position < a.seen.length.value;
    if (reached) continue;
    event.mean_least.reset();
    event.mean_most.reset();
    event.explanation = "The other trace does not reach this place.";
  }
}

}  // namespace

HeldTrace held_trace(const Trace& trace, const TraceAnalysis& analysis, const TraceLink& link, int number) {
  HeldTrace held;
  held.link = trace.identity.cable;
  held.strand = trace.identity.fibre;
  held.direction = trace.identity.direction;
  held.wavelength = trace.settings.wavelength;
  held.pulse_ns = trace.settings.pulse_ns;
  held.index = trace.settings.index;
  held.step = trace.step;
  if (!trace.level_db.empty())
    held.range = Metres{trace.step.value * static_cast<double>(trace.level_db.size() - 1)};
  held.launch = trace.settings.launch;
  held.receive = trace.settings.receive;
  held.averages = trace.settings.averages;
  held.taken = trace.identity.taken;
  held.instrument = trace.identity.instrument;
  held.operator_name = trace.identity.operator_name;
  held.number = number;
  held.seen = link;
  held.end = analysis.end;
  // Of the link, not of its cords; a section too short to say anything is told as a dead zone.
  const double start = link.start.value, stop = link.start.value + link.length.value;
  Decibels anywhere;
  for (const TraceSection& section : analysis.sections) {
    anywhere = std::max(anywhere, section.detectable);
    const bool of_link = section.to.value > start && section.from.value < stop;
    if (of_link && section.detectable.value < unusable_section_db)
      held.detectable = std::max(held.detectable, section.detectable);
  }
  if (held.detectable.value == 0) held.detectable = anywhere;
  return held;
}

Metres event_gate(const HeldTrace& one, const HeldTrace& other) {
  return {std::max(shown_pulse_m(one.pulse_ns, one.index), shown_pulse_m(other.pulse_ns, other.index)) +
          2 * std::max(one.step.value, other.step.value)};
}

BothWays both_ways(const HeldTrace& from_a, const HeldTrace& from_b) {
  const bool whole_a = from_a.end == EndState::found, whole_b = from_b.end == EndState::found;
  if (!whole_a && !whole_b) return one_way(from_a);  // where the two meet nobody knows
  BothWays out;
  const double a = whole_a ? from_a.seen.length.value : from_b.seen.length.value;
  const double b = whole_b ? from_b.seen.length.value : from_a.seen.length.value;
  out.length = {(a + b) / 2};
  const double gate = event_gate(from_a, from_b).value + std::abs(a - b);
  out.events = pair_directions(from_a.seen.events, from_b.seen.events,
                               {out.length, {gate}, from_a.detectable, from_b.detectable});
  unbound_beyond_reach(out, from_a, from_b);
  if (from_a.seen.loss && from_b.seen.loss)
    out.loss = Measured{
        (from_a.seen.loss->value + from_b.seen.loss->value) / 2,
        std::hypot(from_a.seen.loss->standard_uncertainty, from_b.seen.loss->standard_uncertainty) / 2};
  return out;
}

BothWays one_way(const HeldTrace& trace) {
  BothWays out{trace.seen.length, {}, trace.seen.loss};
  const bool from_b = trace.from() == Direction::b_to_a;
  for (const LinkEvent& seen : trace.seen.events) {
    TwoWayEvent event;
    event.kind = seen.kind;
    event.position = from_b ? Metres{out.length.value - seen.position.value} : seen.position;
    (from_b ? event.from_b : event.from_a) = seen.loss;
    out.events.push_back(std::move(event));
  }
  if (from_b) std::reverse(out.events.begin(), out.events.end());
  return out;
}

}  // namespace strandbook
