#include <algorithm>
#include <cmath>

#include "domain/traces/event_search.hpp"

namespace strandbook {
namespace {

constexpr double least_step_strength = 3.6;  ///< to be a candidate at all
constexpr std::size_t most_candidates = 200;

struct StepPlace {
  std::size_t at;
  double strength;
};

/// Strength of a step at one place: lines on both sides against each other in the middle of the gap.
class StepTest {
 public:
  StepTest(const LineSums& lines, SampleRange range, SlopePrior prior, std::size_t gap, double step_km)
      : lines_(lines), range_(range), prior_(prior), gap_(gap), step_km_(step_km) {}

  double operator()(std::size_t at, std::size_t window) const {
    const SampleRange before{at - std::min(window, at - range_.first), at};
    const SampleRange after{at + gap_, std::min(at + gap_ + window, range_.last)};
    if (before.last <= before.first || after.last <= after.first) return 0;
    const Line a = lines_.fit(before, prior_);
    const Line b = lines_.fit(after, prior_);
    const double middle = (static_cast<double>(at) + static_cast<double>(gap_) / 2) * step_km_;
    return break_strength(a, b, middle);
  }

 private:
  const LineSums& lines_;
  SampleRange range_;
  SlopePrior prior_;
  std::size_t gap_;
  double step_km_;
};

/// The strongest place near `at`, by ever smaller steps.
StepPlace climbed(const StepTest& test, SampleRange inner, std::size_t window, StepPlace place,
                  std::size_t step, std::size_t finest) {
  for (step /= 2; step >= finest; step /= 2) {
    const std::size_t centre = place.at;
    for (const std::size_t at : {centre - std::min(step, centre - inner.first), centre + step}) {
      if (at >= inner.last) continue;
      const double strength = test(at, window);
      if (strength > place.strength) place = {at, strength};
    }
  }
  return place;
}

void add_places(std::vector<StepPlace>& places, const StepTest& test, SampleRange inner, std::size_t window,
                std::size_t finest) {
  const std::size_t stride = std::max(finest, window / 8);
  double left = 0;
  double here = 0;
  std::size_t at_here = inner.first;
  for (std::size_t at = inner.first; at < inner.last + stride; at += stride) {
    const double next = at < inner.last ? test(at, window) : 0;
    if (here >= least_step_strength && here >= left && here > next)
      places.push_back(climbed(test, inner, window, {at_here, here}, stride, finest));
    left = here;
    here = next;
    at_here = at;
  }
}

/// The strongest places, none within a pulse of a stronger one, in order of position.
std::vector<StepPlace> thinned(std::vector<StepPlace> places, std::size_t apart) {
  std::sort(places.begin(), places.end(), [](const StepPlace& a, const StepPlace& b) {
    return a.strength != b.strength ? a.strength > b.strength : a.at < b.at;
  });
  std::vector<StepPlace> kept;
  for (const StepPlace& place : places) {
    const bool free = std::none_of(kept.begin(), kept.end(), [&](const StepPlace& other) {
      return std::max(place.at, other.at) - std::min(place.at, other.at) < apart;
    });
    if (free) kept.push_back(place);
    if (kept.size() == most_candidates) break;
  }
  std::sort(kept.begin(), kept.end(), [](const StepPlace& a, const StepPlace& b) { return a.at < b.at; });
  return kept;
}

/// Exact search: best[j] is the least cost of everything before place j, given that j is an event.
std::vector<StepPlace> best_set(const std::vector<StepPlace>& places, const LineSums& lines,
                                SampleRange range, SlopePrior prior, double penalty, std::size_t gap,
                                std::size_t least) {
  const std::size_t n = places.size();
  std::vector<double> best(n + 1, 1e300);
  std::vector<std::size_t> from(n + 1, n);
  for (std::size_t j = 0; j <= n; ++j) {
    const std::size_t end = j < n ? places[j].at : range.last;
    best[j] = lines.fit({range.first, end}, prior).misfit;
    for (std::size_t i = 0; i < j; ++i) {
      const std::size_t start = places[i].at + gap;
      if (start + least > end) continue;
      const double cost = best[i] + penalty + lines.fit({start, end}, prior).misfit;
      if (cost < best[j]) {
        best[j] = cost;
        from[j] = i;
      }
    }
  }
  std::vector<StepPlace> chosen;
  for (std::size_t j = from[n]; j < n; j = from[j]) chosen.push_back(places[j]);
  std::reverse(chosen.begin(), chosen.end());
  return chosen;
}

}  // namespace

std::vector<Candidate> find_steps(const LinearTrace& trace, const LineSums& lines, SampleRange range,
                                  SlopePrior prior, double penalty) {
  const double w = trace.pulse.width;
  const auto gap = static_cast<std::size_t>(std::ceil(trace.pulse.extent()));
  const auto least = static_cast<std::size_t>(std::max(2.0, std::ceil(w / 2)));
  if (range.last < range.first + gap + 2 * least) return {};
  const SampleRange inner{range.first + least, range.last - gap - least};
  const StepTest test(lines, range, prior, gap, trace.step_km);
  std::vector<StepPlace> places;
  const std::size_t length = range.last - range.first;
  for (std::size_t window = std::max<std::size_t>(4, static_cast<std::size_t>(w));; window *= 2) {
    add_places(places, test, inner, window, std::max<std::size_t>(1, static_cast<std::size_t>(w / 4)));
    if (window > length) break;
  }
  // What the gap leaves out would have cost about its share of independent samples.
  const double left_out = trace.pulse.extent() / std::max(1.0, 2 * trace.pulse.receiver);
  const auto chosen =
      best_set(thinned(std::move(places), std::max<std::size_t>(2, static_cast<std::size_t>(w / 2))), lines,
               range, prior, penalty + left_out, gap, least);
  std::vector<Candidate> steps;
  steps.reserve(chosen.size());
  for (const StepPlace& place : chosen)
    steps.push_back({static_cast<double>(place.at), place.at + gap, false, false, place.strength});
  return steps;
}

}  // namespace strandbook
