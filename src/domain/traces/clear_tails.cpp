#include "domain/traces/clear_tails.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

#include "domain/traces/echoes.hpp"
#include "domain/traces/fibre_end.hpp"
#include "domain/traces/marks.hpp"
#include "domain/traces/tail_equations.hpp"

namespace strandbook {
namespace {

constexpr double first_threshold = 12;  ///< deviations of a step while tails are on: only what is plain
constexpr double second_threshold = 5;

constexpr double unexplained = 400;  ///< squared deviations that a stretch without explanation counts for

/// Straight light on both sides of a step, up to its neighbours.
std::array<SampleRange, 2> sides_of(const TraceGround& ground, const Candidate& step,
                                    const std::vector<Candidate>& all) {
  const auto reach = static_cast<std::size_t>(8 * ground.light.pulse.width) + 8;
  const auto start = static_cast<std::size_t>(step.start);
  SampleRange before{start > reach ? start - reach : 0, start};
  SampleRange behind{step.until, std::min(step.until + reach, ground.light.power.size())};
  const auto margin = static_cast<std::size_t>(2 + 0.3 * ground.light.pulse.width);
  for (const Candidate& other : all) {
    if (other.until <= start) before.first = std::max(before.first, other.until);
    const auto foot = static_cast<std::size_t>(std::max(0.0, other.start));
    if (foot > step.until) behind.last = std::min(behind.last, std::max(step.until, foot - margin));
  }
  return {before, behind};
}

/// Does the light fall far faster than in fibre on one side of this step?
bool stands_on_slope(const TraceGround& ground, const Candidate& step, const std::vector<Candidate>& all) {
  const auto sides = sides_of(ground, step, all);
  return std::any_of(sides.begin(), sides.end(), [&](const SampleRange& side) {
    const Line free = ground.lines.fit(side, {0, 1e4});
    return free.slope < ground.prior.mean - 1 - 4 * std::sqrt(free.slope_variance);
  });
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
  // Shorter light may be the top of a peak that another one cut off.
  const auto least = static_cast<std::size_t>(std::ceil(2 * w));
  std::vector<Straight> out;
  std::size_t from = ground.first;
  for (const Mark& mark : marks) {
    const auto start = static_cast<std::size_t>(std::max(0.0, mark.candidate.start));
    const std::size_t to = std::min(start > margin ? start - margin : 0, start > sure ? sure : size);
    if (to > from + least) out.push_back({{from, to}, true});
    from = std::max(from, mark.candidate.until);
  }
  if (from + least < sure) out.push_back({{from, sure}, true});
  if (dark_from < size) out.push_back({{dark_from, size}, false});
  return out;
}

/// Peaks and steps before the end, as marks.
std::vector<Mark> rough_marks(const std::vector<Candidate>& peaks, std::size_t dark_from,
                              std::vector<Candidate> found) {
  found.insert(found.end(), peaks.begin(), peaks.end());
  const auto behind = [&](const Candidate& each) { return each.start >= static_cast<double>(dark_from); };
  found.erase(std::remove_if(found.begin(), found.end(), behind), found.end());
  return marks_of(found);
}

/// Fibre only loses light: where it is far darker shortly before a stretch than at its beginning, a step of
/// the fibre was taken for a tail.
bool light_rises(const LinearTrace& light, const std::vector<Straight>& stretches) {
  constexpr double least_share = 0.6;  ///< 1.1 dB: more than any gain between unlike fibres
  constexpr std::size_t head = 8;
  const auto past_echo = static_cast<std::size_t>(2 * light.pulse.extent());
  const auto back = static_cast<std::size_t>(4 * light.pulse.width) + head;
  const auto at = [&light](std::size_t k) { return light.power.begin() + static_cast<std::ptrdiff_t>(k); };
  // A trace that shows no noise by itself still tells it by how its light wavers.
  const double noise = std::max(light.noise, std::sqrt(light.noise_density));
  auto strongest = light.power.begin();
  for (const Straight& each : stretches) {
    const std::size_t first = each.samples.first;
    if (!each.fibre || each.samples.last < first + head) continue;
    // Before the strongest light there may be none yet.
    strongest = std::max_element(strongest, at(first) + 1);
    const auto from = std::min(std::max(strongest, at(first - std::min(first, back))), at(first));
    // An echo that was not told may lie on the beginning of a stretch, but not so far on.
    const std::size_t on = std::min(past_echo, each.samples.last - first - head);
    const double behind = std::min(std::accumulate(at(first), at(first + head), 0.0),
                                   std::accumulate(at(first + on), at(first + on + head), 0.0)) /
                          head;
    if (behind > 10 * noise && *std::min_element(from, at(first) + 1) < least_share * behind) return true;
  }
  return false;
}

/// The most that the tails of all peaks before a sample may still show there. An exponential of length d
/// shows most at a distance of d: the share of the light that is in it, by e, by pulse over d.
double most_tail_at(const LinearTrace& light, double at, const std::vector<Candidate>& peaks) {
  constexpr double share = 0.01;  ///< of the light in a usual detector's tail (common practice)
  double sum = 0;
  for (const Candidate& peak : peaks) {
    const auto top = static_cast<std::size_t>(std::max(0.0, peak.start + 0.8 * light.pulse.width));
    if (!(peak.start < at) || top >= light.shown.size()) continue;
    sum += share * std::exp(-1) * light.shown[top] * light.pulse.width / (at - peak.start);
  }
  return sum;
}

/// May what falls here be but the tails of the peaks before it?
bool may_be_tail(const TraceGround& ground, const Candidate& step, const std::vector<Candidate>& peaks) {
  const auto sides = sides_of(ground, step, peaks);
  const double x = step.start * ground.light.step_km;
  const double before = std::exp(ground.lines.fit(sides[0], ground.prior).at(x) / decibels_per_share);
  const double behind = std::exp(ground.lines.fit(sides[1], ground.prior).at(x) / decibels_per_share);
  return behind < before && before - behind < most_tail_at(ground.light, step.start, peaks);
}

/// Light without tails, as one look at them leaves it.
struct TailLook {
  std::vector<double> power, tail, density;
  TailsFound tails;
  std::size_t steps = 0;
  bool failed = false;  ///< what was taken off is no tail

  void swap_with(LinearTrace& light) {
    std::swap(power, light.power);
    std::swap(tail, light.tail);
    std::swap(density, light.tail_density);
  }
};

/// Leaves the light of `ground` as it was.
TailLook tail_look(TraceGround& ground, const std::vector<Candidate>& peaks, std::size_t dark_from,
                   const std::vector<Candidate>& steps, const std::vector<TailPart>& start) {
  LinearTrace& light = ground.light;
  TailLook look{light.power, light.tail, light.tail_density, {}, steps.size(), false};
  const std::vector<Straight> stretches =
      stretches_of(ground, rough_marks(peaks, dark_from, steps), dark_from);
  look.tails = remove_tails(light, stretches, ground.prior, start);
  look.failed = light_rises(light, stretches);
  look.swap_with(light);
  if (look.failed) look = {light.power, light.tail, light.tail_density, {}, look.steps, true};
  return look;
}

/// Steps of the light that this look leaves.
std::vector<Candidate> steps_without(TraceGround& ground, const std::vector<Candidate>& peaks,
                                     TailLook look) {
  look.swap_with(ground.light);
  set_search_levels(ground, peaks);
  std::vector<Candidate> steps = steps_between(ground, on_the_fibre(peaks), second_threshold);
  look.swap_with(ground.light);
  return steps;
}

/// Is what the first look tells worth more than what the other does, by `margin` squared deviations?
bool explains_better(const TailLook& one, const TailLook& other, double margin = 0) {
  const double excess = std::min(TailEquations::excess(one.tails.misfit, one.tails.rows),
                                 TailEquations::excess(other.tails.misfit, other.tails.rows));
  // Both may be asked about different samples: what each leaves over by chance is what the better one does.
  double usual = usual_misfit;
  for (const TailLook* look : {&one, &other})
    usual = std::min(usual, look->tails.misfit / excess / std::max(1.0, look->tails.rows));
  const auto cost = [&](const TailLook& look) {
    return look.tails.misfit / excess - usual * look.tails.rows +
           unexplained * static_cast<double>(look.tails.left_out) +
           step_threshold * step_threshold * static_cast<double>(look.tails.parts.size() + look.steps);
  };
  return cost(one) + margin < cost(other);
}

/// A curved tail looks like a few steps: those that may be none are kept only where the tail without them
/// explains the light worse than each of them is worth, and each part of a tail likewise.
TailLook look_at_tails(TraceGround& ground, const std::vector<Candidate>& peaks, std::size_t dark_from,
                       std::vector<Candidate> steps, const std::vector<TailPart>& start) {
  const std::vector<Candidate> parting = on_the_fibre(peaks);
  TailLook with = tail_look(ground, parting, dark_from, steps, start);
  const auto doubtful = [&](const Candidate& step) { return may_be_tail(ground, step, parting); };
  steps.erase(std::remove_if(steps.begin(), steps.end(), doubtful), steps.end());
  if (steps.size() == with.steps) return with;
  TailLook without = tail_look(ground, parting, dark_from, steps, with.tails.parts);
  if (without.failed) return with;
  if (with.failed) return without;
  // Steps that were the tail's own are gone without it.
  TailLook anew = tail_look(ground, parting, dark_from, steps_without(ground, peaks, with), with.tails.parts);
  TailLook* best = &with;
  for (TailLook* other : {&anew, &without})
    if (!other->failed && explains_better(*other, *best)) best = other;
  return *best;
}

/// A few small steps look like a weak tail: what steps are there if no tail is?
TailLook look_without_tails(TraceGround& ground, const std::vector<Candidate>& peaks, std::size_t dark_from,
                            TailLook look) {
  constexpr std::size_t most_more = 3;  ///< steps; a tail taken for steps makes many
  // Detectors have tails: a part of one is worth no step.
  constexpr double plainly = step_threshold * step_threshold;
  constexpr double nearly_all = 0.9;
  if (look.tails.parts.empty()) return look;
  const std::vector<Candidate> steps =
      steps_without(ground, peaks, {ground.light.shown, {}, {}, {}, 0, false});
  if (steps.size() > look.steps + most_more) return look;
  TailLook plain = tail_look(ground, on_the_fibre(peaks), dark_from, steps, {});
  // Where a step leaves whole stretches out, the two are not asked about the same light.
  const bool comparable = plain.tails.rows > nearly_all * look.tails.rows;
  return !plain.failed && comparable && explains_better(plain, look, plainly) ? plain : look;
}

}  // namespace

void clear_tails(TraceGround& ground, const std::vector<Candidate>& peaks) {
  if (ground.last < ground.first + 32) return;
  std::size_t dark_from = dark_behind_peaks(ground, peaks);
  // Where the light ends without a peak, its fall is no tail's, and what lies behind is.
  if (const std::optional<Candidate> dark = dark_end(ground, peaks);
      dark && dark->until < std::min(dark_from, ground.light.power.size())) {
    // Of the light that ended there the receiver's answer must be gone too.
    dark_from = dark->until + static_cast<std::size_t>(std::ceil(8 * ground.light.pulse.receiver));
    ground.last = std::min(ground.last, dark->until);
  }
  const std::vector<Candidate> parting = on_the_fibre(peaks);
  std::vector<Candidate> steps = steps_between(ground, parting, first_threshold);
  // Within a tail that still lies on the fibre everything looks like steps.
  std::vector<Candidate> all = steps;
  all.insert(all.end(), peaks.begin(), peaks.end());
  const auto in_tail = [&](const Candidate& step) { return stands_on_slope(ground, step, all); };
  steps.erase(std::remove_if(steps.begin(), steps.end(), in_tail), steps.end());
  TailLook first = look_at_tails(ground, peaks, dark_from, std::move(steps), {});
  first.swap_with(ground.light);
  set_search_levels(ground, peaks);
  steps = steps_between(ground, parting, second_threshold);
  TailLook second = look_at_tails(ground, peaks, dark_from, std::move(steps), first.tails.parts);
  look_without_tails(ground, peaks, dark_from, std::move(second)).swap_with(ground.light);
  set_search_levels(ground, peaks);
}

}  // namespace strandbook
