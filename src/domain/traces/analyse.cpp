// The chain: light and noise, peaks, steps, lines, edges, events, echoes.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "domain/traces/event_results.hpp"
#include "domain/traces/tails.hpp"

namespace strandbook {
namespace {

constexpr double rough_threshold = 12;   ///< before the tails are off: only what is plain
constexpr double step_threshold = 4.75;  ///< deviations a step must be worth

/// Multimode glass scatters several decibels more back than single-mode glass; around 1300 nm only that tells
/// them apart.
bool is_multimode(const TraceSettings& settings) {
  if (settings.wavelength.value < 1000) return true;
  return settings.wavelength.value < 1400 && settings.backscatter && settings.backscatter->value > -77.2;
}

/// What fibres of this window usually have, dB/km; broad, so that the trace itself decides (categories of
/// ITU-T G.652 and IEC 60793-2-10; common practice).
SlopePrior usual_slope(const TraceSettings& settings) {
  if (settings.wavelength.value < 1000) return {-2.7, 0.4};
  if (is_multimode(settings)) return {-0.8, 0.3};
  if (settings.wavelength.value < 1420) return {-0.35, 0.04};
  return {-0.21, 0.03};
}

/// How far fibres of one link differ from each other, dB/km.
double slope_spread(const TraceSettings& settings) {
  if (settings.wavelength.value < 1000) return 0.05;
  return is_multimode(settings) ? 0.03 : 0.012;
}

std::vector<Mark> marks_of(const std::vector<Candidate>& candidates) {
  std::vector<Mark> marks;
  for (const Candidate& candidate : candidates) {
    Mark mark{candidate, {}, 0, candidate.until};
    mark.edge.start = candidate.start;
    marks.push_back(mark);
  }
  std::sort(marks.begin(), marks.end(),
            [](const Mark& a, const Mark& b) { return a.candidate.start < b.candidate.start; });
  return marks;
}

/// The section before an event ends where the edge may begin to show.
void set_section_ends(TraceGround& ground) {
  const double margin = 1 + 0.12 * ground.light.pulse.width;
  for (Mark& mark : ground.marks) {
    const double uncertain =
        mark.candidate.peak ? 0 : std::min(2 * mark.edge.deviation, ground.light.pulse.width);
    mark.before_last =
        static_cast<std::size_t>(std::max(0.0, std::floor(mark.edge.start - margin - uncertain) + 1));
    if (mark.candidate.peak) {
      const auto foot =
          static_cast<std::size_t>(std::max(0.0, mark.candidate.start - 2 - 0.25 * ground.light.pulse.width));
      mark.before_last = std::min(mark.before_last, foot);
    }
    const double behind = mark.edge.start + ground.light.pulse.extent() + uncertain;
    if (!mark.candidate.peak) mark.candidate.until = static_cast<std::size_t>(std::ceil(behind));
    mark.candidate.until = std::max(mark.before_last, mark.candidate.until);
  }
}

SampleRange room_of(const TraceGround& ground, std::size_t i) {
  const std::size_t from = i == 0 ? 0
                                  : static_cast<std::size_t>(std::max(
                                        0.0, ground.marks[i - 1].edge.start + ground.light.pulse.width));
  const std::size_t to = i + 1 < ground.marks.size()
                             ? static_cast<std::size_t>(ground.marks[i + 1].candidate.start)
                             : ground.light.power.size();
  return {std::min(from, to), to};
}

void fit_edges(TraceGround& ground) {
  for (std::size_t i = 0; i < ground.marks.size(); ++i) {
    Mark& mark = ground.marks[i];
    if (mark.candidate.dark_behind) {
      mark.edge.start = mark.candidate.start;
      mark.edge.deviation = 0.5;
      continue;
    }
    if (mark.candidate.peak)
      mark.edge = fit_peak_edge(ground.light, mark.candidate, room_of(ground, i));
    else if (i + 1 < ground.sections.size() && ground.sections[i].line.information > 0 &&
             ground.sections[i + 1].line.information > 0)
      mark.edge = fit_step_edge(ground.light, mark.candidate, ground.sections[i].line,
                                ground.sections[i + 1].line, room_of(ground, i));
  }
}

/// Steps in each clear stretch between peaks.
std::vector<Candidate> steps_between(const TraceGround& ground, const std::vector<Candidate>& peaks,
                                     double threshold) {
  const double penalty = threshold * threshold;
  const auto margin = static_cast<std::size_t>(2 + 0.3 * ground.light.pulse.width);
  std::vector<Candidate> steps;
  std::size_t from = ground.first;
  const auto search = [&](std::size_t to) {
    if (to <= from) return;
    for (const Candidate& step : find_steps(ground.light, ground.lines, {from, to}, ground.prior, penalty))
      steps.push_back(step);
  };
  for (const Candidate& peak : peaks) {
    if (peak.start < static_cast<double>(ground.first)) continue;
    const auto start = static_cast<std::size_t>(peak.start);
    if (start >= ground.last) break;
    search(start > margin ? std::min(start - margin, ground.last) : 0);
    from = std::min(peak.until, ground.last);
  }
  search(ground.last);
  return steps;
}

/// Does the light fall far faster than in fibre on one side of this step?
bool stands_on_slope(const TraceGround& ground, const Candidate& step) {
  const auto reach = static_cast<std::size_t>(8 * ground.light.pulse.width) + 8;
  const auto start = static_cast<std::size_t>(step.start);
  for (const SampleRange side :
       {SampleRange{start > reach ? start - reach : 0, start},
        SampleRange{step.until, std::min(step.until + reach, ground.light.power.size())}}) {
    const Line free = ground.lines.fit(side, {0, 1e4});
    if (free.slope < ground.prior.mean - 1 - 4 * std::sqrt(free.slope_variance)) return true;
  }
  return false;
}

/// The light may end without a peak: then the last line still promises light where there is none.
std::optional<Candidate> dark_end(const TraceGround& ground, const std::vector<Candidate>& peaks) {
  const LinearTrace& light = ground.light;
  if (!light.noise_seen) return std::nullopt;
  std::size_t from = ground.first;
  for (const Candidate& peak : peaks)
    if (peak.start < static_cast<double>(ground.last)) from = std::max(from, peak.until);
  const auto pulse = static_cast<std::size_t>(std::ceil(light.pulse.width));
  const std::size_t reach = 16 * pulse + 16;
  const std::size_t last = std::min(ground.last + 4 * pulse, light.power.size());
  if (last < from + 3 * pulse + 8) return std::nullopt;
  for (const Candidate& peak : peaks)
    if (peak.start > static_cast<double>(from) && peak.start < static_cast<double>(last + 8 * pulse))
      return std::nullopt;
  // The end of the light is known to some pulses only.
  const std::size_t room = ground.last > from ? ground.last - from : 0;
  const std::size_t sure =
      room > reach + 8 * pulse ? ground.last - reach
                               : from + std::min(room / 2, room > 10 * pulse ? room - 8 * pulse : 2 * pulse);
  const std::size_t base = sure > from + 60 * pulse ? sure - 60 * pulse : from;
  const Line line = ground.lines.fit({base, sure}, ground.prior);
  const Line free = ground.lines.fit({base, sure}, {0, 1e4});
  const bool sinks = free.slope < ground.prior.mean - 1 - 4 * std::sqrt(free.slope_variance);
  if (!(line.information > 0) || sinks) return std::nullopt;
  // Where the fibre sinks into the noise the light keeps to its line; where it ends it does not.
  const std::size_t stop = std::min(last + 8 * pulse + 8, light.power.size());
  if (stop <= last) return std::nullopt;
  double missing = 0;
  for (std::size_t k = last; k < stop; ++k)
    missing += std::exp(line.at(static_cast<double>(k) * light.step_km) / decibels_per_share) -
               (light.power[k] - light.floor_mean);
  const auto n = static_cast<double>(stop - last);
  if (missing / n < 8 * std::sqrt(light.noise_density / n)) return std::nullopt;
  const EdgeFit edge = fit_dark_edge(light, line, {sure, std::min(last + 4 * pulse, light.power.size())});
  Candidate end;
  end.start = edge.start;
  end.until = std::min(static_cast<std::size_t>(std::max(0.0, std::ceil(edge.start + light.pulse.extent()))),
                       light.power.size());
  end.dark_behind = true;
  return end;
}

/// Takes away steps that the fine fit no longer bears out.
bool drop_weak_steps(TraceGround& ground) {
  std::size_t weakest = ground.marks.size();
  double least = step_threshold;
  for (std::size_t i = 0; i < ground.marks.size(); ++i) {
    if (ground.marks[i].candidate.peak || ground.marks[i].candidate.dark_behind) continue;
    const double x = ground.marks[i].edge.start * ground.light.step_km;
    const double strength = break_strength(ground.sections[i].line, ground.sections[i + 1].line, x);
    if (strength < least) {
      least = strength;
      weakest = i;
    }
  }
  if (weakest == ground.marks.size()) return false;
  ground.marks.erase(ground.marks.begin() + static_cast<std::ptrdiff_t>(weakest));
  return true;
}

/// Is this stretch fibre, or only a tail of the detector or noise? Its beginning tells.
bool is_fibre(const TraceGround& ground, std::size_t i) {
  const LinearTrace& light = ground.light;
  const FittedSection& section = ground.sections[i];
  if (!(section.line.information > 0)) return false;
  const std::size_t from = i == 0 ? ground.first : ground.marks[i - 1].candidate.until;
  const std::size_t next = i < ground.marks.size() ? ground.marks[i].before_last : light.power.size();
  const std::size_t to = std::min(next, from + static_cast<std::size_t>(std::ceil(4 * light.pulse.width)) + 8);
  if (to <= from) return false;
  double sum = 0;
  double tail = 0;
  for (std::size_t k = from; k < to; ++k) {
    sum += light.power[k];
    tail += light.tail.empty() ? 0 : light.tail[k];
  }
  const auto n = static_cast<double>(to - from);
  const double deviation = std::sqrt(light.noise_density / n);
  const double unsure = std::max(0.1 * tail / n, 6 * deviation + 0.15 * light.noise);
  if (!(sum / n > light.floor_mean + unsure)) return false;
  if (i == 0) return true;
  const double x = ground.marks[i - 1].edge.start * light.step_km;
  const FittedSection& before = ground.sections[i - 1];
  const double drop = before.line.information > 0 ? before.line.at(x) - section.line.at(x) : 0;
  // A detector's tail sinks far faster than light in a fibre; close to the noise its slope cannot be told.
  const Line free = ground.lines.fit({from, to}, {0, 1e4});
  const bool sinks = free.slope < ground.prior.mean - 1 - 4 * std::sqrt(free.slope_variance);
  return !(drop > 2 && (sinks || sum / n < 4 * light.noise));
}

/// The event behind which no more fibre is seen; events behind that are echoes.
void settle_end(TraceGround& ground, TraceAnalysis& out, std::vector<Candidate>& beyond) {
  if (!ground.light.noise_seen) {
    out.end = EndState::beyond_range;
    return;
  }
  std::size_t fibre = ground.sections.size();
  while (fibre > 0 && !is_fibre(ground, fibre - 1)) --fibre;
  if (fibre == 0) fibre = 1;
  if (fibre == ground.sections.size()) {
    out.end = EndState::beyond_noise;
    return;
  }
  out.end = EndState::found;
  for (std::size_t i = fibre; i < ground.marks.size(); ++i)
    if (ground.marks[i].candidate.peak) beyond.push_back(ground.marks[i].candidate);
  ground.marks.resize(fibre);
  ground.sections.resize(fibre + 1);
}

struct Panel {
  std::size_t first = 0;         ///< sample from which the fibre may be seen
  std::optional<double> height;  ///< of its reflection, linear; empty where the receiver was full
};

/// The panel's own reflection hides the beginning of the fibre.
Panel panel_of(const Trace& trace, LinearTrace& light, std::vector<Candidate>& peaks) {
  const double zero = -trace.first.value / trace.step.value;
  const double w = light.pulse.width;
  Panel panel;
  panel.first = static_cast<std::size_t>(std::max(0.0, std::ceil(zero + light.pulse.extent())));
  const auto early = [&](const Candidate& peak) { return peak.start < zero + 1.5 * w + 2; };
  double most = 0;
  const auto stop =
      static_cast<std::size_t>(std::clamp(zero + w + 2, 0.0, static_cast<double>(light.power.size())));
  for (std::size_t k = 0; k < stop; ++k) most = std::max(most, light.power[k]);
  if (most < light.saturation) panel.height = most;
  for (const Candidate& peak : peaks)
    if (early(peak)) panel.first = std::max(panel.first, peak.until);
  peaks.erase(std::remove_if(peaks.begin(), peaks.end(), early), peaks.end());
  panel.first = std::min(panel.first, light.power.size());
  return panel;
}

void build(TraceGround& ground) {
  refine_sections(ground, 1);
  fit_edges(ground);
  set_section_ends(ground);
  refine_sections(ground, 2);
}

double sum_of(const std::vector<double>& values, std::size_t first, std::size_t last) {
  double sum = 0;
  for (std::size_t k = first; k < std::min(last, values.size()); ++k) sum += values[k];
  return sum;
}

/// Is what follows this peak only its tail? It falls from part to part, faster than light in a fibre, until
/// the noise hides it. Deep under the light before the peak it takes plain flatness to be fibre.
bool only_tail(const TraceGround& ground, const Candidate& peak, std::size_t last) {
  constexpr std::size_t parts = 6;
  constexpr double deep = 0.04;
  const LinearTrace& light = ground.light;
  const double w = light.pulse.width;
  if (last < peak.until || static_cast<double>(last - peak.until) < w) return true;
  const std::size_t part = std::max((last - peak.until) / parts, static_cast<std::size_t>(std::ceil(w / 2)));
  const auto n = static_cast<double>(part);
  const double fibre = std::exp(ground.prior.mean * n * light.step_km / decibels_per_share);
  const auto foot = static_cast<std::size_t>(std::max(0.0, peak.start - w / 2 - 2));
  const std::size_t side = std::min(foot, static_cast<std::size_t>(3 * w) + 4);
  const double over = sum_of(light.shown, foot - side, foot) / static_cast<double>(side + 1);
  double before = 0;
  for (std::size_t i = 0; i + 2 < parts; ++i) {
    const double mean = sum_of(light.shown, peak.until + i * part, peak.until + (i + 1) * part) / n;
    const double deviation = std::sqrt(2 * (light.noise_density + light.fading_density * mean * mean) / n);
    const double least_fall = mean < deep * over ? 0.03 * before - 3 * deviation : std::max(0.03 * before, 3 * deviation);
    if (i > 0 && mean > 3 * light.noise && mean > fibre * before - least_fall) return false;
    before = mean;
  }
  return true;
}

/// From where only the tail of the last peak is left; the size of the trace where there is fibre behind it.
std::size_t dark_behind_peaks(const TraceGround& ground, const std::vector<Candidate>& peaks) {
  std::size_t dark_from = ground.light.power.size();
  std::size_t last = ground.last;
  const double margin = 2 + 0.3 * ground.light.pulse.width;
  for (auto peak = peaks.rbegin(); peak != peaks.rend(); ++peak) {
    if (peak->start >= static_cast<double>(ground.last)) continue;
    if (!only_tail(ground, *peak, last)) break;
    dark_from = peak->until;
    last = static_cast<std::size_t>(std::max(0.0, peak->start - margin));
  }
  return dark_from;
}

/// Stretches between marks, and what lies behind the light.
std::vector<Straight> stretches_of(const TraceGround& ground, const std::vector<Mark>& marks,
                                   std::size_t dark_from) {
  const double w = ground.light.pulse.width;
  const std::size_t size = ground.light.power.size();
  // The light may end anywhere within the last block that still holds some.
  const auto unsure = static_cast<std::size_t>(std::ceil(4 * w + ground.light.pulse.extent())) + 4;
  const std::size_t sure = std::min(dark_from, ground.last > unsure ? ground.last - unsure : 0);
  const auto margin = static_cast<std::size_t>(2 + 0.3 * w);
  std::vector<Straight> out;
  std::size_t from = ground.first;
  for (const Mark& mark : marks) {
    const auto start = static_cast<std::size_t>(std::max(0.0, mark.candidate.start));
    const std::size_t to = std::min(start > margin ? start - margin : 0, start > sure ? sure : size);
    if (to > from) out.push_back({{from, to}, true});
    from = std::max(from, mark.candidate.until);
  }
  if (from < sure) out.push_back({{from, sure}, true});
  if (dark_from < size) out.push_back({{dark_from, size}, false});
  return out;
}

/// Slope and spread as the sections show them.
SlopePrior learned_slope(const TraceGround& ground, SlopePrior before, double spread) {
  double w = 1 / (before.deviation * before.deviation);
  double sum = w * before.mean;
  for (const FittedSection& section : ground.sections) {
    const Line free = ground.lines.fit(section.samples, {0, 1e4});
    if (!(free.information > 0) || free.slope_variance > 1) continue;
    const double weight = 1 / (free.slope_variance + spread * spread);
    w += weight;
    sum += weight * free.slope;
  }
  // What the mean itself is unsure of is common to all sections.
  return {sum / w, std::sqrt(spread * spread + 1 / w)};
}

TraceAnalysis nothing(const char* why) {
  TraceAnalysis out;
  out.notes.emplace_back(why);
  return out;
}

}  // namespace

std::string_view text_of(EventKind kind) {
  switch (kind) {
    case EventKind::reflective:
      return "reflective";
    case EventKind::loss:
      return "loss";
    case EventKind::gain:
      return "gain";
    case EventKind::bend:
      return "bend";
    case EventKind::cluster:
      return "cluster";
    case EventKind::end_of_fibre:
      return "end of fibre";
    case EventKind::ghost:
      return "ghost";
  }
  return {};
}

TraceAnalysis analyse(const Trace& trace) {
  if (trace.level_db.size() < 64) return nothing("The trace has too few samples to be analysed.");
  if (!(trace.settings.pulse_ns > 0) || !(trace.step.value > 0))
    return nothing("The trace names no pulse width.");
  TraceGround ground;
  ground.light = linear_trace(trace);
  LinearTrace& light = ground.light;
  const SlopePrior usual = usual_slope(trace.settings);
  light.decay = usual.mean * light.step_km / decibels_per_share;
  ground.last = light_end_of(light);
  estimate_densities(light, ground.last, {});
  std::vector<Candidate> peaks = find_peaks(light);
  learn_receiver(light, peaks);
  ground.first = panel_of(trace, light, peaks).first;
  const double spread = slope_spread(trace.settings);
  set_search_levels(ground, peaks);
  ground.prior = {robust_slope(ground, usual).mean, 2 * spread};
  const std::size_t dark_from = dark_behind_peaks(ground, peaks);
  std::vector<TailPart> tails;
  for (int pass = 0; pass < 2; ++pass) {
    std::vector<Candidate> rough = steps_between(ground, peaks, pass == 0 ? rough_threshold : 5);
    // Within a tail that still lies on the fibre everything looks like steps.
    if (pass == 0)
      rough.erase(std::remove_if(rough.begin(), rough.end(),
                                 [&](const Candidate& step) { return stands_on_slope(ground, step); }),
                  rough.end());
    rough.insert(rough.end(), peaks.begin(), peaks.end());
    rough.erase(std::remove_if(rough.begin(), rough.end(),
                               [&](const Candidate& each) { return each.start >= static_cast<double>(dark_from); }),
                rough.end());
    tails = remove_tails(light, stretches_of(ground, marks_of(rough), dark_from), ground.prior, std::move(tails));
    set_search_levels(ground, peaks);
  }
  ground.last = light_end_of(light);
  estimate_densities(light, ground.last, peaks);
  peaks = find_peaks(light);
  const Panel panel = panel_of(trace, light, peaks);
  ground.first = panel.first;
  if (ground.last < ground.first + 32) return nothing("No fibre is seen behind the panel's own reflection.");

  set_search_levels(ground, peaks);
  ground.prior = {robust_slope(ground, usual).mean, spread};
  // A peak just where the light ends is the end of the fibre.
  for (const Candidate& peak : peaks)
    if (peak.start >= static_cast<double>(ground.last) &&
        peak.start < static_cast<double>(ground.last) + 8 * light.pulse.width + 8)
      ground.last = std::min(peak.until, light.power.size());
  const std::optional<Candidate> dark = dark_end(ground, peaks);
  if (dark) ground.last = std::min(ground.last, static_cast<std::size_t>(dark->start));
  std::vector<Candidate> found = steps_between(ground, peaks, step_threshold);
  for (const Candidate& peak : peaks)
    if (peak.start < static_cast<double>(ground.last)) found.push_back(peak);
  if (dark) {
    found.push_back(*dark);
    ground.last = dark->until;
  }
  ground.marks = marks_of(found);
  for (Mark& mark : ground.marks) mark.edge.deviation = 1;
  set_section_ends(ground);
  build(ground);
  ground.prior = learned_slope(ground, robust_slope(ground, usual), spread);
  calibrate_densities(ground);
  build(ground);
  while (drop_weak_steps(ground)) refine_sections(ground, 1);

  TraceAnalysis out;
  std::vector<Candidate> beyond;
  for (const Candidate& peak : peaks)
    if (peak.start >= static_cast<double>(ground.last)) beyond.push_back(peak);
  settle_end(ground, out, beyond);
  out.slope = {-ground.prior.mean};
  state_events(trace, ground, out);
  const double zero = -trace.first.value / trace.step.value;
  const double start = std::exp(ground.sections.front().line.at(zero * light.step_km) / decibels_per_share);
  out.noise_db = decibels_per_share * light.noise / start;
  if (light.noise_seen && light.noise > 0) out.dynamic_range = Decibels{5 * std::log10(start / light.noise)};
  std::optional<double> panel_db;
  if (panel.height && trace.settings.backscatter && *panel.height > 1.05 * start)
    panel_db = trace.settings.backscatter->value + 10 * std::log10(trace.settings.pulse_ns) +
               10 * std::log10(*panel.height / start - 1);
  mark_ghosts(trace, ground, beyond, panel_db, out);
  state_return_loss(trace, ground, out);
  return out;
}

}  // namespace strandbook
