#include <algorithm>
#include <cmath>

#include "domain/traces/event_search.hpp"

namespace strandbook {
namespace {

constexpr double least_peak_strength = 5.2;
constexpr double least_share = 1.015;  ///< of the light before it

class RunningSum {
 public:
  explicit RunningSum(const std::vector<double>& values) : sum_(values.size() + 1) {
    for (std::size_t i = 0; i < values.size(); ++i) sum_[i + 1] = sum_[i] + values[i];
  }
  double mean(std::ptrdiff_t from, std::ptrdiff_t to) const {
    const auto size = static_cast<std::ptrdiff_t>(sum_.size()) - 1;
    from = std::clamp(from, std::ptrdiff_t{0}, size);
    to = std::clamp(to, std::ptrdiff_t{0}, size);
    if (to <= from) return 0;
    return (sum_[static_cast<std::size_t>(to)] - sum_[static_cast<std::size_t>(from)]) /
           static_cast<double>(to - from);
  }

 private:
  std::vector<double> sum_;
};

struct Windows {
  std::ptrdiff_t top_from;  ///< the plateau, seen from its start
  std::ptrdiff_t top_to;
  std::ptrdiff_t valley;  ///< where the light has mostly fallen
  std::ptrdiff_t behind;  ///< where the light should have fallen again
  std::ptrdiff_t side;    ///< length of the stretches on both sides
};

Windows windows_of(const LinearTrace& trace) {
  const double w = trace.pulse.width;
  Windows out{};
  out.top_from = std::llround(0.4 * w);
  out.top_to = std::max<std::ptrdiff_t>(out.top_from + 1, std::llround(1.1 * w));
  out.behind = std::llround(w + 4 * trace.pulse.receiver) + 1;
  out.valley = std::max<std::ptrdiff_t>(out.top_to + 1, std::llround(w + 2.5 * trace.pulse.receiver));
  out.side = std::max<std::ptrdiff_t>(4, std::llround(1.5 * w));
  return out;
}

double density(const LinearTrace& trace, double power) {
  return trace.noise_density + trace.fading_density * power * power;
}

/// Samples behind the pulse until the receiver's answer is down to a fiftieth of the light that follows.
std::size_t settled_after(const LinearTrace& trace, const RunningSum& sums, std::size_t edge, double top) {
  const double w = trace.pulse.width;
  const auto from = static_cast<std::ptrdiff_t>(static_cast<double>(edge) + 8 * trace.pulse.receiver);
  const double behind = std::max(
      {sums.mean(from, from + std::max<std::ptrdiff_t>(4, std::llround(2 * w))), trace.noise, 1e-12});
  const double ratio = std::clamp(1000 * top / behind, 55.0, 1e9);
  return static_cast<std::size_t>(std::ceil(trace.pulse.receiver * std::log(ratio))) + 1;
}

/// The foot of an edge: back down for as long as the light falls steeply.
std::size_t foot_of(const LinearTrace& trace, std::size_t at) {
  const auto most = static_cast<std::size_t>(std::ceil(trace.pulse.width)) + 2;
  const double noise = 0.5 * std::sqrt(trace.noise_density);
  for (std::size_t i = 0; i < most && at > 0; ++i, --at)
    if (!(trace.shown[at - 1] < trace.shown[at] - noise)) break;
  return at;
}

/// Where the receiver was full, and for how long: a peak whatever lies around it.
std::vector<Candidate> full_peaks(const LinearTrace& trace, const RunningSum& sums) {
  std::vector<Candidate> peaks;
  const std::vector<double>& p = trace.shown;
  for (std::size_t k = 0; k < p.size(); ++k) {
    if (p[k] < trace.saturation) continue;
    std::size_t last = k;
    while (last + 1 < p.size() && p[last + 1] >= trace.saturation) ++last;
    const auto whole = k + static_cast<std::size_t>(std::ceil(trace.pulse.width));
    const std::size_t start = foot_of(trace, k);
    peaks.push_back(
        {static_cast<double>(start),
         std::max(last, whole) + settled_after(trace, sums, std::max(last, whole), trace.saturation), true,
         false, 1e6});
    k = peaks.back().until;
  }
  return peaks;
}

/// Deviations by which the light stands over both sides, for a peak that begins at each sample.
std::vector<double> peak_strengths(const LinearTrace& trace, const RunningSum& sums,
                                   const std::vector<Candidate>& full) {
  const Windows at = windows_of(trace);
  std::vector<double> strength(trace.power.size());
  auto next_full = full.begin();
  // Both sides as they would look where the plateau stands, by the usual slope of fibre.
  const double middle = 0.5 * static_cast<double>(at.top_from + at.top_to);
  const double half = 0.5 * static_cast<double>(at.side);
  const double from_before = std::exp(trace.decay * (middle + half));
  const double from_behind = std::exp(trace.decay * (middle - static_cast<double>(at.behind) - half));
  const double shares = 1 / static_cast<double>(at.top_to - at.top_from) + 1 / static_cast<double>(at.side);
  for (std::ptrdiff_t k = 1; k < static_cast<std::ptrdiff_t>(strength.size()); ++k) {
    while (next_full != full.end() && next_full->start < static_cast<double>(k)) ++next_full;
    const double top = sums.mean(k + at.top_from, k + at.top_to);
    const double before = from_before * std::max(0.0, sums.mean(k - at.side, k));
    if (!(top > least_share * before)) continue;
    double behind = from_behind * sums.mean(k + at.behind, k + at.behind + at.side);
    // Where another peak stands there, the light between the two is down for less than a pulse.
    if (behind > top) behind = from_behind * sums.mean(k + at.valley, k + at.behind);
    // Shortly before a full peak only the rise can be seen, and it must be plain.
    const bool hidden =
        next_full != full.end() && static_cast<double>(k + at.behind + at.side) > next_full->start;
    const double rise = hidden ? top - 1.5 * before : std::min(top - before, top - behind);
    const double base = hidden ? before : std::max(before, behind);
    if (rise > 0) strength[static_cast<std::size_t>(k)] = rise / std::sqrt(density(trace, base) * shares);
  }
  return strength;
}

/// Strong places that no full peak covers.
std::vector<std::size_t> strong_places(const LinearTrace& trace, const std::vector<double>& strength,
                                       const std::vector<Candidate>& full) {
  const auto covered = [&](std::size_t k) {
    return std::any_of(full.begin(), full.end(), [&](const Candidate& peak) {
      return static_cast<double>(k) + 1.4 * trace.pulse.width + 2 > peak.start && k < peak.until;
    });
  };
  std::vector<std::size_t> places;
  for (std::size_t k = 0; k < strength.size(); ++k)
    if (strength[k] > least_peak_strength && !covered(k)) places.push_back(k);
  return places;
}

}  // namespace

std::vector<Candidate> find_peaks(const LinearTrace& trace) {
  const RunningSum sums(trace.power);
  const Windows at = windows_of(trace);
  std::vector<Candidate> peaks = full_peaks(trace, sums);
  const std::vector<double> strength = peak_strengths(trace, sums, peaks);
  const std::vector<std::size_t> order = strong_places(trace, strength, peaks);
  // Of places that share a peak the strongest counts.
  const auto reach = static_cast<std::size_t>(std::max(2.0, trace.pulse.width));
  for (std::size_t i = 0; i < order.size();) {
    std::size_t best = order[i];
    std::size_t j = i;
    for (; j < order.size() && order[j] - best <= reach; ++j)
      if (strength[order[j]] > strength[best]) best = order[j];
    const auto whole = best + static_cast<std::size_t>(std::ceil(trace.pulse.width));
    const double top = sums.mean(static_cast<std::ptrdiff_t>(best) + at.top_from,
                                 static_cast<std::ptrdiff_t>(best) + at.top_to);
    peaks.push_back({static_cast<double>(best), whole + settled_after(trace, sums, whole, top), true, false,
                     strength[best]});
    while (j < order.size() && order[j] - best <= reach) ++j;
    i = j;
  }
  std::sort(peaks.begin(), peaks.end(),
            [](const Candidate& a, const Candidate& b) { return a.start < b.start; });
  return peaks;
}

}  // namespace strandbook
