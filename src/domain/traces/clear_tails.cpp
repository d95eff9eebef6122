#include "domain/traces/clear_tails.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

#include "domain/traces/fibre_end.hpp"
#include "domain/traces/marks.hpp"
#include "domain/traces/tails.hpp"

namespace strandbook {
namespace {

constexpr double first_threshold = 12;  ///< deviations of a step while tails are on: only what is plain
constexpr double second_threshold = 5;

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
  const auto back = static_cast<std::size_t>(4 * light.pulse.width) + head;
  const auto at = [&light](std::size_t k) { return light.power.begin() + static_cast<std::ptrdiff_t>(k); };
  auto strongest = light.power.begin();
  for (const Straight& each : stretches) {
    const std::size_t first = each.samples.first;
    if (!each.fibre || each.samples.last < first + head) continue;
    // Before the strongest light there may be none yet.
    strongest = std::max_element(strongest, at(first) + 1);
    const auto from = std::min(std::max(strongest, at(first - std::min(first, back))), at(first));
    const double behind = std::accumulate(at(first), at(first + head), 0.0) / head;
    if (behind > 10 * light.noise && *std::min_element(from, at(first) + 1) < least_share * behind)
      return true;
  }
  return false;
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
  std::vector<Candidate> steps = steps_between(ground, peaks, first_threshold);
  // Within a tail that still lies on the fibre everything looks like steps.
  std::vector<Candidate> all = steps;
  all.insert(all.end(), peaks.begin(), peaks.end());
  const auto in_tail = [&](const Candidate& step) { return stands_on_slope(ground, step, all); };
  steps.erase(std::remove_if(steps.begin(), steps.end(), in_tail), steps.end());
  const auto look = [&](std::vector<Candidate> found, const std::vector<TailPart>& start) {
    const std::vector<Mark> marks = rough_marks(peaks, dark_from, std::move(found));
    const std::vector<Straight> stretches = stretches_of(ground, marks, dark_from);
    LinearTrace before = ground.light;
    std::vector<TailPart> tails = remove_tails(ground.light, stretches, ground.prior, start);
    if (!light_rises(ground.light, stretches)) return tails;
    ground.light = std::move(before);
    return std::vector<TailPart>{};
  };
  const std::vector<TailPart> tails = look(std::move(steps), {});
  set_search_levels(ground, peaks);
  look(steps_between(ground, peaks, second_threshold), tails);
  set_search_levels(ground, peaks);
}

}  // namespace strandbook
