#include "domain/traces/held_trace.hpp"

#include <algorithm>
#include <cmath>

namespace strandbook {

HeldTrace held_trace(const Trace& trace, const TraceAnalysis& analysis, const TraceLink& link, int number) {
  HeldTrace held;
  held.link = trace.identity.cable;
  held.strand = trace.identity.fibre;
  held.direction = trace.identity.direction;
  held.wavelength = trace.settings.wavelength;
  held.pulse_ns = trace.settings.pulse_ns;
  held.index = trace.settings.index;
  held.step = trace.step;
  held.launch = trace.settings.launch;
  held.receive = trace.settings.receive;
  held.averages = trace.settings.averages;
  held.taken = trace.identity.taken;
  held.instrument = trace.identity.instrument;
  held.operator_name = trace.identity.operator_name;
  held.number = number;
  held.seen = link;
  held.end = analysis.end;
  for (const TraceSection& section : analysis.sections)
    held.detectable = std::max(held.detectable, section.detectable);
  return held;
}

BothWays both_ways(const HeldTrace& from_a, const HeldTrace& from_b) {
  BothWays out;
  const double a = from_a.seen.length.value;
  const double b = from_b.seen.length.value;
  out.length = {(a + b) / 2};
  const double gate =
      std::max(shown_pulse_m(from_a.pulse_ns, from_a.index), shown_pulse_m(from_b.pulse_ns, from_b.index)) +
      2 * std::max(from_a.step.value, from_b.step.value) + std::abs(a - b);
  out.events = pair_directions(from_a.seen.events, from_b.seen.events,
                               {out.length, {gate}, from_a.detectable, from_b.detectable});
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
