// Where a step stands, before its edge is fitted.

#include <algorithm>
#include <cmath>

#include "domain/traces/edge_fit.hpp"

namespace strandbook {

double step_place_deviation(double density, double width, double drop) {
  return std::hypot(std::sqrt(density * width) / drop, std::sqrt(26.0) * density / (drop * drop));
}

double likeliest_start(const LinearTrace& trace, const Candidate& step, const Line& before, const Line& after,
                       SampleRange room) {
  const double w = trace.pulse.width;
  const double x = step.start * trace.step_km;
  const double drop = std::max(1e-3, std::abs(after.at(x) - before.at(x)));
  // By its edge alone: a search as wide as a weak step may be off would take a neighbour's place.
  const double deviation =
      std::sqrt(trace.level_density(std::exp(before.at(x) / decibels_per_share)) * w) / drop;
  const double reach = std::clamp(4 * deviation, 6 * w, 40 * w);
  const double middle = w / 2 + trace.pulse.receiver;  ///< of the ramp, from its start
  const auto clamp = [&](double k) {
    return static_cast<std::size_t>(
        std::clamp(k, static_cast<double>(room.first), static_cast<double>(room.last)));
  };
  const auto share = [&](const Line& line) {
    return std::exp(line.slope * trace.step_km / decibels_per_share);
  };
  const std::size_t from = clamp(step.start + middle - reach);
  const std::size_t to = clamp(step.start + middle + reach);
  const auto power = [&](const Line& line) {
    return std::exp(line.at(static_cast<double>(from) * trace.step_km) / decibels_per_share);
  };
  double a = power(before), b = power(after);
  const double share_a = share(before), share_b = share(after);
  double sum = 0, least = 0;
  std::size_t best = from;
  for (std::size_t k = from; k < to; ++k, a *= share_a, b *= share_b) {
    if (trace.shows_echo(k)) continue;
    const double p = trace.of_fibre(k);
    sum += (p - a) * (p - a) - (p - b) * (p - b);
    if (sum >= least) continue;
    least = sum;
    best = k + 1;
  }
  return static_cast<double>(best) - middle;
}

}  // namespace strandbook
