// The edge of a step, in the noise as its samples share it.

#include <algorithm>
#include <cmath>
#include <numeric>

#include "domain/traces/edge_fit.hpp"
#include "domain/traces/edge_search.hpp"
#include "domain/traces/pulse_noise.hpp"

namespace strandbook {
namespace {

/// What no neighbour shares: rounding to thousandths of a dB, and a pulse that is no exact rectangle.
constexpr double rounding_share = 1.5e-4;
constexpr double shape_share = 0.02;
constexpr std::size_t fewest_around = 6;  ///< that tell a place

/// The pulse's answers to a step and to a peak at `start` in the samples from `first` on: the same
/// exponential from sample to sample.
template <class Put>
void answers_along(const PulseShape& pulse, double start, std::size_t first, std::size_t count,
                   const Put& put) {
  const double keep = std::exp(-1 / pulse.receiver);
  const double end = std::exp(-pulse.width / pulse.receiver);
  const double unshown = pulse.receiver * (1 - end) / pulse.width;  // of a step, at the end of the pulse
  double x = static_cast<double>(first) - start;
  std::size_t i = 0;
  for (; i < count && x <= 0; ++i, x += 1) put(i, 0.0, 0.0);
  for (double left = std::exp(-x / pulse.receiver); i < count && x <= pulse.width; ++i, x += 1, left *= keep)
    put(i, (x - pulse.receiver * (1 - left)) / pulse.width, 1 - left);
  for (double left = std::exp((pulse.width - x) / pulse.receiver); i < count; ++i, left *= keep)
    put(i, 1 - unshown * left, (1 - end) * left);
}

/// A step between two known lines, with a peak or without, held against the samples around it.
class StepEdge {
 public:
  /// `change`: of the light, by step or peak, linear.
  StepEdge(const LinearTrace& trace, const Line& before, const Line& after, SampleRange near, double light,
           double change)
      : trace_(trace),
        near_(near),
        noise_(trace, light, std::hypot(rounding_share * light, shape_share * change),
               near.last - near.first) {
    for (std::size_t k = near.first; k < near.last; ++k) {
      const double x = static_cast<double>(k) * trace.step_km;
      const double level = std::exp(before.at(x) / decibels_per_share);
      off_.push_back(trace.power[k] - level);
      drop_.push_back(std::exp(after.at(x) / decibels_per_share) - level);
    }
    peak_.resize(off_.size());
  }

  /// Squared deviations of a step that starts here.
  double misfit(double step) {
    whiten_step(step);
    return std::inner_product(residual_.begin(), residual_.end(), residual_.begin(), 0.0);
  }

  struct Peaked {
    double height;  ///< of the peak that lies best over the step, linear
    double misfit;  ///< squared deviations with it
  };
  Peaked with_peak(double step, double peak) {
    const double alone = misfit(step);
    answers_along(trace_.pulse, peak, near_.first, peak_.size(),
                  [&](std::size_t i, double, double of_peak) { peak_[i] = of_peak; });
    noise_.whiten(peak_);
    const double both = std::inner_product(residual_.begin(), residual_.end(), peak_.begin(), 0.0);
    const double own = std::inner_product(peak_.begin(), peak_.end(), peak_.begin(), 1e-300);
    return {both / own, alone - both * both / own};
  }

 private:
  void whiten_step(double step) {
    residual_ = off_;
    answers_along(trace_.pulse, step, near_.first, off_.size(),
                  [&](std::size_t i, double of_step, double) { residual_[i] -= of_step * drop_[i]; });
    noise_.whiten(residual_);
  }

  const LinearTrace& trace_;
  SampleRange near_;
  PulseNoise noise_;
  std::vector<double> off_, drop_, residual_, peak_;
};

/// Costs at evenly spaced starts.
struct CostGrid {
  double first, spacing;
  std::vector<double> cost;

  double start(std::size_t i) const { return first + static_cast<double>(i) * spacing; }
  double best() const {
    return start(static_cast<std::size_t>(std::min_element(cost.begin(), cost.end()) - cost.begin()));
  }
};

template <class Cost>
CostGrid cost_grid(double middle, double reach, double spacing, const Cost& cost) {
  CostGrid grid{middle - reach, spacing, {}};
  for (double start = grid.first; start <= middle + reach; start += spacing) grid.cost.push_back(cost(start));
  return grid;
}

struct Place {
  double mean, deviation;
};

/// What the costs, as squared deviations, leave to be believed of the start.
Place believed(const CostGrid& grid) {
  const double least = *std::min_element(grid.cost.begin(), grid.cost.end());
  double sum = 0, mean = 0, square = 0;
  for (std::size_t i = 0; i < grid.cost.size(); ++i) {
    const double weight = std::exp((least - grid.cost[i]) / 2);
    sum += weight;
    mean += weight * grid.start(i);
    square += weight * grid.start(i) * grid.start(i);
  }
  mean /= sum;
  return {mean, std::sqrt(std::max(0.0, square / sum - mean * mean))};
}

template <class Cost>
double finest_start(const CostGrid& grid, double w, const Cost& cost) {
  return descend(grid.best(), std::max(0.25, w / 12), std::max(0.02, w / 200), cost);
}

/// Where it is unsure, the mean of what may be: it lies nearer to the truth than the likeliest place.
template <class Cost>
double start_of_step(double likely, double reach, double w, const Cost& cost) {
  const CostGrid grid = cost_grid(likely, reach, std::max(0.5, w / 6), cost);
  const Place place = believed(grid);
  return place.deviation > grid.spacing ? place.mean : finest_start(grid, w, cost);
}

/// A step may carry a peak too low to be found by itself; then the edge of both is taken.
void take_weak_peak(const LinearTrace& trace, SampleRange near, double likely, StepEdge& edge, double step,
                    EdgeFit& fit) {
  constexpr double least_gain = 12;  // squared deviations that the peak must be worth
  const double w = trace.pulse.width;
  const auto cost = [&](double at) { return edge.with_peak(at, at).misfit; };
  const double start = finest_start(cost_grid(likely, 1.5 * w, std::max(0.5, w / 6), cost), w, cost);
  const StepEdge::Peaked found = edge.with_peak(start, start);
  const bool within = start >= static_cast<double>(near.first) && start <= static_cast<double>(near.last) &&
                      std::abs(start - fit.start) <= w + 3 * fit.deviation;
  // Less than a third of the step is what an inexact shape of the pulse makes of the step itself.
  const bool plain = found.height > 0.005 * fit.before && found.height > std::abs(step) / 3;
  if (!within || !plain || edge.misfit(fit.start) - found.misfit < least_gain) return;
  fit.start = start;
  fit.height = found.height;
  fit.peak = true;
  fit.deviation = peak_place_deviation(trace, fit.before, found.height);
}

}  // namespace

EdgeFit fit_step_edge(const LinearTrace& trace, const Candidate& step, const Line& before, const Line& after,
                      SampleRange room) {
  const double likely = likeliest_start(trace, step, before, after, room);
  const double w = trace.pulse.width;
  const auto light = [&](const Line& line, double start) {
    return std::exp(line.at(start * trace.step_km) / decibels_per_share);
  };
  const auto deviation = [&](double start) {
    const double drop = std::abs(after.at(start * trace.step_km) - before.at(start * trace.step_km));
    return step_place_deviation(trace.level_density(light(before, start)), w, std::max(drop, 1e-3)) + 0.1;
  };
  const auto within = [&](double start) {
    return std::clamp(start, static_cast<double>(room.first),
                      static_cast<double>(std::max(room.first, room.last)));
  };
  EdgeFit fit;
  const auto take = [&](double start) {
    fit.start = within(start);
    fit.before = light(before, fit.start);
    fit.deviation = deviation(fit.start);
  };
  take(likely);
  const double reach = std::clamp(4 * deviation(likely), 1.5 * w, 3 * w);
  const SampleRange near = around(trace, likely, room, std::max(0.0, reach - 1.5 * w));
  if (near.last < near.first + fewest_around) return fit;
  const double change = light(after, likely) - light(before, likely);
  StepEdge edge(trace, before, after, near, light(before, likely), change);
  take(start_of_step(likely, reach, w, [&](double at) { return edge.misfit(at); }));
  take_weak_peak(trace, near, likely, edge, change, fit);
  return fit;
}

std::optional<double> step_beside_peak(const LinearTrace& trace, const EdgeFit& peak, const Line& before,
                                       const Line& after, SampleRange room) {
  constexpr double least_gain = 25;  // squared deviations
  const double w = trace.pulse.width;
  const double reach = 3.5 * w;
  const SampleRange near = around(trace, peak.start, room, reach);
  if (near.last < near.first + fewest_around) return std::nullopt;
  StepEdge edge(trace, before, after, near, peak.before, peak.height);
  double together = 1e300, apart = 1e300, best = peak.start;
  for (double at = peak.start - 0.6 * w; at <= peak.start + 0.6 * w; at += w / 8) {
    together = std::min(together, edge.with_peak(at, at).misfit);
    for (double step = peak.start - reach; step <= peak.start + reach; step += w / 4) {
      const double misfit = edge.with_peak(step, at).misfit;
      if (misfit >= apart) continue;
      apart = misfit;
      best = step;
    }
  }
  if (together - apart < least_gain) return std::nullopt;
  return best;
}

}  // namespace strandbook
