#include <algorithm>
#include <cmath>

#include "domain/traces/event_search.hpp"

namespace strandbook {
namespace {

constexpr double least_strength = 5.2;
constexpr double least_share = 1.12;  ///< of the light before it: 0.25 dB one way

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
  std::ptrdiff_t behind;  ///< where the light should have fallen again
  std::ptrdiff_t side;    ///< length of the stretches on both sides
};

Windows windows_of(const LinearTrace& trace) {
  const double w = trace.pulse.width;
  Windows out{};
  out.top_from = std::llround(0.4 * w);
  out.top_to = std::max<std::ptrdiff_t>(out.top_from + 1, std::llround(1.1 * w));
  out.behind = std::llround(w + 4 * trace.pulse.receiver) + 1;
  out.side = std::max<std::ptrdiff_t>(4, std::llround(1.5 * w));
  return out;
}

double density(const LinearTrace& trace, double power) {
  return trace.noise_density + trace.fading_density * power * power;
}

}  // namespace

std::vector<Candidate> find_peaks(const LinearTrace& trace) {
  const auto size = static_cast<std::ptrdiff_t>(trace.power.size());
  const RunningSum sums(trace.power);
  const Windows at = windows_of(trace);
  std::vector<double> strength(trace.power.size());
  for (std::ptrdiff_t k = 1; k < size; ++k) {
    const double top = sums.mean(k + at.top_from, k + at.top_to);
    const double before = std::max(0.0, sums.mean(k - at.side, k));
    if (!(top > least_share * before)) continue;
    const double behind = sums.mean(k + at.behind, k + at.behind + at.side);
    const double rise = std::min(top - before, top - behind);
    if (rise <= 0) continue;
    const double base = std::max(before, behind);
    const auto n = static_cast<double>(at.top_to - at.top_from);
    const double variance = density(trace, base) * (1 / n + 1 / static_cast<double>(at.side));
    strength[static_cast<std::size_t>(k)] = rise / std::sqrt(variance);
  }
  std::vector<std::size_t> order;
  for (std::size_t k = 0; k < strength.size(); ++k)
    if (strength[k] > least_strength) order.push_back(k);
  // Of places that share a peak the strongest counts.
  std::vector<Candidate> peaks;
  const auto reach = static_cast<std::size_t>(std::max(2.0, trace.pulse.width));
  for (std::size_t i = 0; i < order.size();) {
    std::size_t best = order[i];
    std::size_t j = i;
    for (; j < order.size() && order[j] - best <= reach; ++j)
      if (strength[order[j]] > strength[best]) best = order[j];
    peaks.push_back(
        {static_cast<double>(best), best + static_cast<std::size_t>(at.behind), true, strength[best]});
    while (j < order.size() && order[j] - best <= reach) ++j;
    i = j;
  }
  return peaks;
}

}  // namespace strandbook
