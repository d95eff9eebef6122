#include "domain/traces/edge_fit.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "domain/traces/edge_search.hpp"

namespace strandbook {
namespace {

/// Normal equations of up to three unknowns, solved by Gauss with pivots.
struct SmallSystem {
  std::array<std::array<double, 4>, 3> a{};

  void add(const std::array<double, 3>& g, double y, double weight) {
    for (std::size_t i = 0; i < 3; ++i) {
      for (std::size_t j = 0; j < 3; ++j) a[i][j] += weight * g[i] * g[j];
      a[i][3] += weight * g[i] * y;
    }
  }
  std::array<double, 3> solve() {
    for (std::size_t i = 0; i < 3; ++i) {
      std::size_t pivot = i;
      for (std::size_t r = i + 1; r < 3; ++r)
        if (std::abs(a[r][i]) > std::abs(a[pivot][i])) pivot = r;
      std::swap(a[i], a[pivot]);
      if (std::abs(a[i][i]) < 1e-300) return {};
      for (std::size_t r = 0; r < 3; ++r) {
        if (r == i) continue;
        const double share = a[r][i] / a[i][i];
        for (std::size_t j = i; j < 4; ++j) a[r][j] -= share * a[i][j];
      }
    }
    return {a[0][3] / a[0][0], a[1][3] / a[1][1], a[2][3] / a[2][2]};
  }
};

/// Light before, light behind, peak: the three that the samples around a peak are made of.
struct PeakModel {
  double misfit = 0;
  double before = 0;
  double behind = 0;
  double height = 0;
};

PeakModel peak_model(const LinearTrace& trace, const PulseShape& pulse, SampleRange room, double start) {
  SmallSystem system;
  const auto shape = [&](std::size_t k) {
    const double x = static_cast<double>(k) - start;
    const double step = pulse.step(x);
    return std::array<double, 3>{1 - step, step, pulse.peak(x)};
  };
  // The fibre's own slope is taken out, by what is usual, and before the peak what the receiver still answers
  // to earlier ones.
  const auto level = [&](std::size_t k) {
    const double x = static_cast<double>(k) - start;
    return (x < 0 ? trace.of_fibre(k) : trace.power[k]) * std::exp(-trace.decay * x);
  };
  double squares = 0;
  for (std::size_t k = room.first; k < room.last; ++k) {
    const double y = level(k);
    system.add(shape(k), y, 1);
    squares += y * y;
  }
  const SmallSystem normal = system;
  const std::array<double, 3> found = system.solve();
  PeakModel model{squares, found[0], found[1], found[2]};
  for (std::size_t i = 0; i < 3; ++i) model.misfit -= normal.a[i][3] * found[i];
  return model;
}

/// A full receiver shows only the foot of the edge: where the light rises through a tenth of what it can
/// hold.
EdgeFit saturated_edge(const LinearTrace& trace, const Candidate& peak, SampleRange near) {
  EdgeFit fit;
  fit.saturated = true;
  const auto foot = static_cast<std::size_t>(peak.start);
  const auto back = static_cast<std::size_t>(3 + trace.pulse.width / 2);
  const std::size_t quiet = std::max(near.first, foot > back ? foot - back : 0);
  double sum = 0;
  for (std::size_t k = near.first; k < quiet; ++k) sum += trace.power[k];
  fit.before = quiet > near.first ? sum / static_cast<double>(quiet - near.first) : 0;
  // Every sample counts here: the rise is over within a few.
  const double level = fit.before + 0.1 * (trace.saturation - fit.before);
  const auto n = static_cast<double>(trace.joined);
  const std::vector<double>& p = trace.recorded;
  std::size_t k = quiet * trace.joined;
  const std::size_t last = std::min(near.last * trace.joined, p.size());
  while (k + 1 < last && p[k + 1] < level) ++k;
  const double rise = k + 1 < last ? p[k + 1] - p[k] : 0;
  const double crossing =
      static_cast<double>(k) + (rise > 0 ? std::clamp((level - p[k]) / rise, 0.0, 1.0) : 0);
  fit.start = (crossing - (n - 1) / 2) / n - 0.05 * trace.pulse.receiver;
  fit.height = trace.saturation - fit.before;
  fit.deviation = 0.3 + 0.1 * trace.pulse.width;
  return fit;
}

}  // namespace

double peak_place_deviation(const LinearTrace& trace, double before, double height) {
  const double density = trace.noise_density + trace.fading_density * before * before;
  const double curvature = height * height / (2 * trace.pulse.receiver);
  return std::sqrt(density / std::max(curvature, 1e-300)) + 0.1 + 0.01 * trace.pulse.width;
}

EdgeFit fit_peak_edge(const LinearTrace& trace, const Candidate& peak, SampleRange room) {
  const SampleRange near = around(trace, peak.start, room);
  if (near.last < near.first + 6) return {peak.start, trace.pulse.width, 0, 0, false};
  double most = 0;
  for (std::size_t k = near.first; k < near.last; ++k) most = std::max(most, trace.shown[k]);
  if (most >= trace.saturation) return saturated_edge(trace, peak, near);
  const auto cost = [&](double start) { return peak_model(trace, trace.pulse, near, start).misfit; };
  const double w = trace.pulse.width;
  const double start = descend(peak.start, std::max(0.5, w / 8), std::max(0.01, w / 500), cost);
  const PeakModel model = peak_model(trace, trace.pulse, near, start);
  EdgeFit fit{start, 0, model.height, model.before, false};
  fit.deviation = peak_place_deviation(trace, model.before, model.height);
  return fit;
}

EdgeFit fit_dark_edge(const LinearTrace& trace, const Line& before, SampleRange room) {
  const double w = trace.pulse.width;
  const auto cost = [&](double start) {
    double sum = 0;
    for (std::size_t k = room.first; k < room.last; ++k) {
      const double power = std::exp(before.at(static_cast<double>(k) * trace.step_km) / decibels_per_share);
      const double share = trace.pulse.step(static_cast<double>(k) - start);
      const double r = trace.of_fibre(k) - (1 - share) * power - share * trace.floor_mean;
      sum += r * r;
    }
    return sum;
  };
  double best = static_cast<double>(room.first);
  double least = 1e300;
  for (double start = best; start < static_cast<double>(room.last); start += std::max(0.5, w / 4)) {
    const double here = cost(start);
    if (here < least) {
      least = here;
      best = start;
    }
  }
  EdgeFit fit;
  fit.start = descend(best, std::max(0.25, w / 8), std::max(0.02, w / 200), cost);
  fit.before = std::exp(before.at(fit.start * trace.step_km) / decibels_per_share);
  fit.deviation = std::sqrt(trace.level_density(fit.before) * w) / decibels_per_share + 0.1;
  return fit;
}

namespace {

/// A strong peak with nothing but fibre around it.
bool shows_receiver(const LinearTrace& trace, const std::vector<Candidate>& peaks, std::size_t i) {
  const double w = trace.pulse.width;
  const bool free_before = i == 0 || peaks[i].start - peaks[i - 1].start > 5 * w;
  const bool free_behind = i + 1 == peaks.size() || peaks[i + 1].start - peaks[i].start > 5 * w;
  return peaks[i].strength > 100 && free_before && free_behind && peaks[i].start > 3 * w;
}

}  // namespace

void learn_receiver(LinearTrace& trace, const std::vector<Candidate>& peaks) {
  const double w = trace.pulse.width;
  std::vector<double> found;
  for (std::size_t i = 0; i < peaks.size() && found.size() < 6; ++i) {
    if (!shows_receiver(trace, peaks, i)) continue;
    const SampleRange near = around(trace, peaks[i].start, {0, trace.power.size()});
    const double most = *std::max_element(trace.power.begin() + static_cast<std::ptrdiff_t>(near.first),
                                          trace.power.begin() + static_cast<std::ptrdiff_t>(near.last));
    if (most >= trace.saturation || near.last < near.first + 10) continue;
    double start = peaks[i].start;
    double receiver = trace.pulse.receiver;
    for (int round = 0; round < 4; ++round) {
      const auto with = [&](double r) { return PulseShape{w, std::clamp(r, 0.05 * w, 2 * w)}; };
      start = descend(start, std::max(0.3, w / 10), std::max(0.01, w / 400),
                      [&](double s) { return peak_model(trace, with(receiver), near, s).misfit; });
      receiver = descend(receiver, 0.08 * w, 0.005 * w,
                         [&](double r) { return peak_model(trace, with(r), near, start).misfit; });
    }
    // Beyond these it was no single peak (receivers are made for their pulses; common practice).
    if (receiver > 0.12 * w && receiver < 0.7 * w) found.push_back(receiver);
  }
  if (found.empty()) return;
  const auto middle = found.begin() + static_cast<std::ptrdiff_t>(found.size() / 2);
  std::nth_element(found.begin(), middle, found.end());
  trace.pulse.receiver = std::max(0.2, *middle);
}

}  // namespace strandbook
