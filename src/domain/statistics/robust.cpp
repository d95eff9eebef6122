#include "domain/statistics/robust.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace strandbook {

double median_in_place(std::span<double> values) {
  assert(!values.empty());
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  if (values.size() % 2 == 1) return *middle;
  return (*middle + *std::max_element(values.begin(), middle)) / 2;
}

double median(std::span<const double> values) {
  std::vector<double> copy(values.begin(), values.end());
  return median_in_place(copy);
}

Centre median_and_mad(std::span<double> values) {
  const double centre = median_in_place(values);
  for (double& value : values) value = std::abs(value - centre);
  return {centre, median_in_place(values) * mad_to_sigma};
}

double huber_location(std::span<const double> values, double k) {
  std::vector<double> copy(values.begin(), values.end());
  const Centre start = median_and_mad(copy);
  if (start.scale <= 0) return start.location;
  double location = start.location;
  for (int round = 0; round < 200; ++round) {
    double sum = 0;
    for (const double value : values)
      sum += std::clamp(value, location - k * start.scale, location + k * start.scale);
    const double next = sum / static_cast<double>(values.size());
    const bool settled = std::abs(next - location) <= 1e-10 * start.scale;
    location = next;
    if (settled) break;
  }
  return location;
}

Centre algorithm_a(std::span<const double> values, double tolerance, int most_rounds) {
  std::vector<double> held(values.begin(), values.end());
  Centre now = median_and_mad(held);
  const auto count = static_cast<double>(values.size());
  for (int round = 0; round < most_rounds && now.scale > 0; ++round) {
    const double delta = 1.5 * now.scale;
    double sum = 0;
    for (std::size_t i = 0; i < values.size(); ++i) {
      held[i] = std::clamp(values[i], now.location - delta, now.location + delta);
      sum += held[i];
    }
    const double location = sum / count;
    double squares = 0;
    for (const double value : held) squares += (value - location) * (value - location);
    const double scale = 1.134 * std::sqrt(squares / (count - 1));
    const bool settled =
        std::abs(location - now.location) + std::abs(scale - now.scale) <= tolerance * now.scale;
    now = {location, scale};
    if (settled) break;
  }
  return now;
}

}  // namespace strandbook
