#include "domain/traces/event_results.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace strandbook {
namespace {

// A step that would be found 19 times in 20 at one false alarm in 1e5 samples: threshold 4.5 and 1.65 more.
constexpr double detectable_deviations = 6.2;

// A step too small to be told may stand in any section and bend its line: one section in ten with a step of
// four deviations, whose lines it shifts by nearly half of that.
constexpr double hidden_steps = 0.35;

// A section that bends by more is no fibre: a tail, a peak or an edge that was not told lies on it.
constexpr double most_bend_db = 0.1;

double length_of(const FittedSection& section) {
  return static_cast<double>(section.samples.last) - static_cast<double>(section.samples.first);
}

/// How far a section's level may be off where its own slope is surely none of this fibre, dB: half of what
/// the slope is too much over its length.
double bend_of(const TraceGround& ground, const FittedSection& section) {
  const Line free = ground.lines.fit(section.samples, {0, 1e4});
  const double sure = 3 * std::hypot(std::sqrt(free.slope_variance), ground.prior.deviation);
  const double excess = std::abs(free.slope - ground.prior.mean) - sure;
  return std::max(0.0, excess) * length_of(section) * ground.light.step_km / 2;
}

bool long_enough(const FittedSection& section, double pulse) {
  return section.line.information > 0 && length_of(section) >= std::max(3.0, pulse / 2);
}

/// A step hardly more than a pulse behind an event may be what is left of that event; a peak there is one.
constexpr double shortest_between = 1.5;  // pulses

bool usable(const TraceGround& ground, const FittedSection& section) {
  return long_enough(section, ground.light.pulse.width) && bend_of(ground, section) < most_bend_db;
}

Metres place(const Trace& trace, double sample) { return trace.position_of(sample); }

}  // namespace

bool run_together(const TraceGround& ground, std::size_t i, Behind behind) {
  const FittedSection& between = ground.sections[i + 1];
  const double w = ground.light.pulse.width;
  if (behind == Behind::end) return !long_enough(between, w);
  const bool doubtful = !ground.marks[i + 1].candidate.peak && length_of(between) < shortest_between * w;
  return doubtful || !usable(ground, between);
}

std::optional<Measured> loss_between(const TraceGround& ground, const FittedSection& before,
                                     const FittedSection& after, double at) {
  if (!usable(ground, before) || !usable(ground, after)) return std::nullopt;
  const double x = at * ground.light.step_km;
  const double variance = before.line.variance_at(x) + after.line.variance_at(x);
  const double bend = std::hypot(bend_of(ground, before), bend_of(ground, after));
  return Measured{before.line.at(x) - after.line.at(x),
                  std::hypot(std::sqrt((1 + hidden_steps) * variance), bend)};
}

double start_power(const Trace& trace, const TraceGround& ground) {
  const double zero = -trace.first.value / trace.step.value;
  const auto some = static_cast<std::size_t>(20 * ground.light.pulse.width) + 8;
  const Line first =
      ground.sections.empty()
          ? ground.lines.fit({ground.first, std::min(ground.first + some, ground.last)}, ground.prior)
          : ground.sections.front().line;
  return std::exp(first.at(zero * ground.light.step_km) / decibels_per_share);
}

namespace {

void state_peak(const Trace& trace, const TraceGround& ground, std::size_t i, TraceEvent& event) {
  const Mark& mark = ground.marks[i];
  const Line& line = ground.sections[i].line;
  const double x = mark.edge.start * ground.light.step_km;
  const double before = line.information > 0 ? std::exp(line.at(x) / decibels_per_share) : mark.edge.before;
  if (!(mark.candidate.peak || mark.edge.peak) || !(before > 0) || !(mark.edge.height > 0)) return;
  const double height = decibels_per_share * std::log(1 + mark.edge.height / before);
  event.height = Decibels{height};
  event.saturated = mark.edge.saturated;
  // Below this the noise is a large part of the backscatter it is held against.
  if (before < 2 * ground.light.noise) return;
  if (trace.settings.backscatter)
    event.reflectance =
        Decibels{reflectance_db(trace.settings.backscatter->value, trace.settings.pulse_ns, height)};
}

EventKind kind_of(const TraceEvent& event, const Mark& mark) {
  if (mark.candidate.peak || mark.edge.peak) return EventKind::reflective;
  return event.loss && event.loss->value < 0 ? EventKind::gain : EventKind::loss;
}

/// The samples that tell a line as they were recorded: where a peak's answer was taken off they would not.
SampleRange untouched(const TraceGround& ground, SampleRange samples) {
  const LinearTrace& light = ground.light;
  if (light.settling.empty()) return samples;
  const std::size_t latest = samples.first + (samples.last - samples.first) / 2;
  while (samples.first < latest && light.settling[samples.first] > 2e-4 * light.power[samples.first])
    ++samples.first;
  return samples;
}

TraceEvent single_event(const Trace& trace, const TraceGround& ground, std::size_t i) {
  const Mark& mark = ground.marks[i];
  TraceEvent event;
  event.position = place(trace, mark.edge.start);
  event.position_uncertainty = {mark.edge.deviation * trace.step.value};
  event.until = place(trace, static_cast<double>(mark.after_first));
  event.before = untouched(ground, ground.sections[i].samples);
  event.after = untouched(ground, ground.sections[i + 1].samples);
  event.loss = loss_between(ground, ground.sections[i], ground.sections[i + 1], mark.edge.start);
  state_peak(trace, ground, i, event);
  event.kind = kind_of(event, mark);
  return event;
}

/// Events with too little fibre between them are one cluster: the sum of their losses is firm.
TraceEvent cluster_of(const Trace& trace, const TraceGround& ground, std::size_t first, std::size_t last) {
  TraceEvent event = single_event(trace, ground, first);
  event.kind = EventKind::cluster;
  for (std::size_t i = first; i <= last; ++i) event.parts.push_back(place(trace, ground.marks[i].edge.start));
  event.until = place(trace, static_cast<double>(ground.marks[last].after_first));
  event.after = untouched(ground, ground.sections[last + 1].samples);
  event.loss =
      loss_between(ground, ground.sections[first], ground.sections[last + 1], ground.marks[first].edge.start);
  return event;
}

TraceSection section_of(const Trace& trace, const TraceGround& ground, double from, double to,
                        const FittedSection& section) {
  TraceSection out;
  out.from = place(trace, from);
  out.to = place(trace, to);
  out.samples = section.samples;
  const double km = (to - from) * ground.light.step_km;
  out.loss = {-section.line.slope * km, std::sqrt(section.line.slope_variance) * km};
  const Line free = ground.lines.fit(section.samples, {0, 1e4});
  if (free.slope_variance < 1e4) out.attenuation = Measured{-free.slope, std::sqrt(free.slope_variance)};
  // A step in the middle would have half of the information on each side, the slope held as here.
  out.detectable = {
      section.line.information > 0 ? detectable_deviations * 2 / std::sqrt(section.line.information) : 99.0};
  return out;
}

}  // namespace

double reflectance_db(double backscatter_db, double pulse_ns, double height_db) {
  return backscatter_db + 10 * std::log10(pulse_ns) + 10 * std::log10(std::pow(10, height_db / 5) - 1);
}

void state_events(const Trace& trace, const TraceGround& ground, TraceAnalysis& out) {
  const std::size_t n = ground.marks.size();
  double from = static_cast<double>(ground.first);
  for (std::size_t i = 0; i < n;) {
    std::size_t last = i;
    const auto before_end = [&](std::size_t k) {
      return out.end == EndState::found && k + 2 == n ? Behind::end : Behind::fibre;
    };
    while (last + 1 < n && run_together(ground, last, before_end(last))) ++last;
    out.sections.push_back(section_of(trace, ground, from, ground.marks[i].edge.start, ground.sections[i]));
    out.events.push_back(last > i ? cluster_of(trace, ground, i, last) : single_event(trace, ground, i));
    from = ground.marks[last].edge.start;
    i = last + 1;
  }
  if (out.end != EndState::found) {
    out.sections.push_back(
        section_of(trace, ground, from, static_cast<double>(ground.last), ground.sections[n]));
    out.length = place(trace, static_cast<double>(ground.last));
    return;
  }
  TraceEvent& end = out.events.back();
  // The loss of an end has no meaning: there is no fibre behind it.
  if (end.kind != EventKind::cluster) end.kind = EventKind::end_of_fibre;
  if (end.kind == EventKind::cluster) {
    end.parts.clear();
    end.kind = EventKind::end_of_fibre;
  }
  end.loss.reset();
  out.length = end.position;
}

}  // namespace strandbook
