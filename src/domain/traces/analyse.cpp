// The chain: light and noise, peaks, steps, lines, edges, events, echoes.

#include <algorithm>
#include <cmath>

#include "domain/traces/clear_tails.hpp"
#include "domain/traces/echoes.hpp"
#include "domain/traces/event_results.hpp"
#include "domain/traces/fibre_end.hpp"
#include "domain/traces/marks.hpp"
#include "domain/traces/pulse_grid.hpp"
#include "domain/traces/settling.hpp"
#include "domain/traces/usual_fibre.hpp"

namespace strandbook {
namespace {

/// Deviations of a step where noise and fading are not well known yet: one that was missed would make them
/// seem greater than they are.
constexpr double early_threshold = 3.8;
constexpr int echo_rounds = 3;  ///< of settling what is an echo

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
  for (const Candidate& peak : peaks)
    if (early(peak)) panel.first = std::max(panel.first, peak.until);
  peaks.erase(std::remove_if(peaks.begin(), peaks.end(), early), peaks.end());
  panel.first = std::min(panel.first, light.power.size());
  const auto most = [](const std::vector<double>& values, double stop) {
    const auto last = static_cast<std::ptrdiff_t>(std::clamp(stop, 0.0, static_cast<double>(values.size())));
    return last > 0 ? *std::max_element(values.begin(), values.begin() + last) : 0.0;
  };
  // A receiver that was full may show it only behind the pulse.
  if (most(light.shown, static_cast<double>(panel.first)) < light.saturation)
    panel.height = most(light.power, zero + w + 2);
  return panel;
}

/// The panel's reflectance where it can be told.
std::optional<double> reflectance_of(const Trace& trace, const TraceGround& ground, const Panel& panel) {
  const double start = start_power(trace, ground);
  if (!panel.height || !trace.settings.backscatter || !(*panel.height > 1.05 * start)) return std::nullopt;
  const double height_db = 5 * std::log10(*panel.height / start);
  return reflectance_db(trace.settings.backscatter->value, trace.settings.pulse_ns, height_db);
}

/// What the detector's tails still lie over: enough to take them off, and then to see how noisy the light is.
void look_first(const Trace& trace, TraceGround& ground, SlopePrior usual, double spread) {
  LinearTrace& light = ground.light;
  ground.last = light_end_of(light);
  estimate_densities(light, ground.last, {});
  std::vector<Candidate> peaks = find_peaks(light);
  learn_receiver(light, peaks);
  const Panel panel = panel_of(trace, light, peaks);
  ground.first = panel.first;
  set_search_levels(ground, peaks);
  // Tails bend the light of all the fibre downwards.
  ground.prior = {robust_slope(ground, usual).mean, 2 * spread, usual.deviation / 2};
  look_for_echoes(trace, ground, reflectance_of(trace, ground, panel), Tails::on, peaks);
  clear_tails(ground, peaks);
  ground.last = light_end_of(light);
  estimate_densities(light, ground.last, peaks);
}

/// Does so little fibre tell of noise and fading that a few steps in it count?
bool few_pulses(const TraceGround& ground) {
  constexpr double enough = 150;
  return static_cast<double>(ground.last - ground.first) < enough * ground.light.pulse.width;
}

/// Peaks, the steps between them, and the end where it has no peak.
std::vector<Candidate> all_candidates(TraceGround& ground, const std::vector<Candidate>& peaks) {
  // A peak just where the light ends is the end of the fibre.
  for (const Candidate& peak : peaks)
    if (peak.start >= static_cast<double>(ground.last) &&
        peak.start < static_cast<double>(ground.last) + 8 * ground.light.pulse.width + 8)
      ground.last = std::min(peak.until, ground.light.power.size());
  const std::optional<Candidate> dark = dark_end(ground, peaks);
  if (dark) ground.last = std::min(ground.last, static_cast<std::size_t>(dark->start));
  const std::vector<Candidate> parting = on_the_fibre(peaks);
  std::vector<Candidate> found =
      steps_between(ground, parting, few_pulses(ground) ? early_threshold : step_threshold);
  for (const Candidate& peak : parting)
    if (peak.start < static_cast<double>(ground.last)) found.push_back(peak);
  if (dark) {
    found.push_back(*dark);
    ground.last = dark->until;
  }
  return found;
}

std::vector<Candidate> echoes_before(std::size_t last, const std::vector<Candidate>& peaks) {
  std::vector<Candidate> echoes;
  std::copy_if(peaks.begin(), peaks.end(), std::back_inserter(echoes),
               [&](const Candidate& peak) { return peak.echo && peak.start < static_cast<double>(last); });
  return echoes;
}

void drop_weak_steps(TraceGround& ground) {
  bool dropped = false;
  for (; drop_weak_step(ground); dropped = true) refine_sections(ground, 1);
  // Of two steps with no fibre between them the one that is left may stand where the other did.
  if (dropped) fit_marks(ground);
}

/// Marks of which nothing is fitted yet.
void take_marks(TraceGround& ground, const std::vector<Candidate>& found) {
  ground.marks = marks_of(found);
  for (Mark& mark : ground.marks) mark.edge.deviation = 1;
  set_section_ends(ground);
}

/// The steps anew, now that the noise is known.
void find_steps_again(TraceGround& ground, const std::vector<Candidate>& peaks) {
  refine_sections(ground, 1);
  std::vector<Candidate> found;
  const std::size_t last = ground.last;
  for (const Mark& mark : ground.marks) {
    if (!mark.candidate.peak && !mark.candidate.dark_behind) continue;
    found.push_back(mark.candidate);
    if (mark.candidate.dark_behind) ground.last = static_cast<std::size_t>(mark.candidate.start);
  }
  for (const Candidate& step : steps_between(ground, on_the_fibre(peaks), step_threshold))
    found.push_back(step);
  ground.last = last;
  take_marks(ground, found);
}

void fit_all(TraceGround& ground, const std::vector<Candidate>& peaks, SlopePrior usual, double spread) {
  fit_marks(ground);
  ground.prior = learned_slope(ground, robust_slope(ground, usual), spread);
  calibrate_densities(ground);
  if (few_pulses(ground)) find_steps_again(ground, peaks);
  fit_marks(ground);
  drop_weak_steps(ground);
}

/// Noise and dynamic range at the start of the fibre.
void state_start(const Trace& trace, const TraceGround& ground, TraceAnalysis& out) {
  const LinearTrace& light = ground.light;
  const double start = start_power(trace, ground);
  out.noise_db = decibels_per_share * light.sample_noise / start;
  if (light.noise_seen && light.sample_noise > 0)
    out.dynamic_range = Decibels{5 * std::log10(start / light.sample_noise)};
}

TraceAnalysis nothing(const char* why) {
  TraceAnalysis out;
  out.notes.emplace_back(why);
  return out;
}

/// `trace` tells settings and places; what it shows is `light`.
TraceAnalysis analyse_light(const Trace& trace, LinearTrace light) {
  const SlopePrior usual = usual_slope(trace.settings);
  const double spread = slope_spread(trace.settings);
  TraceGround ground;
  ground.light = std::move(light);
  ground.light.decay = usual.mean * ground.light.step_km / decibels_per_share;
  look_first(trace, ground, usual, spread);
  std::vector<Candidate> peaks = find_peaks(ground.light);
  settle_peaks(ground.light, peaks);
  const Panel panel = panel_of(trace, ground.light, peaks);
  ground.first = panel.first;
  if (ground.last < ground.first + 32) return nothing("No fibre is seen behind the panel's own reflection.");
  set_search_levels(ground, peaks);
  ground.prior = {robust_slope(ground, usual).mean, spread};
  look_for_echoes(trace, ground, reflectance_of(trace, ground, panel), Tails::off, peaks);
  const std::vector<Candidate> found = all_candidates(ground, peaks);
  ground.echoes = marks_of(echoes_before(ground.last, peaks));
  take_marks(ground, found);
  fit_all(ground, peaks, usual, spread);
  for (int round = 0;
       round < echo_rounds && settle_echoes(trace, ground, reflectance_of(trace, ground, panel)); ++round)
    fit_marks(ground);
  drop_weak_steps(ground);

  TraceAnalysis out;
  std::vector<Candidate> beyond;
  for (const Candidate& peak : peaks)
    if (peak.start >= static_cast<double>(ground.last)) beyond.push_back(peak);
  out.end = settle_end(ground, beyond);
  out.slope = {-ground.prior.mean};
  state_events(trace, ground, out);
  state_start(trace, ground, out);
  state_ghosts(trace, ground, beyond, reflectance_of(trace, ground, panel), out);
  state_return_loss(trace, ground, out);
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
  LinearTrace light = linear_trace(trace);
  const PulseGrid grid = join_samples(trace, light);
  TraceAnalysis out = analyse_light(grid.frame, std::move(light));
  restore_ranges(grid, out);
  return out;
}

}  // namespace strandbook
