#include "domain/statistics/outliers.hpp"

#include <algorithm>
#include <cmath>

#include "domain/statistics/tails.hpp"

namespace strandbook {
namespace {

struct Moments {
  double mean = 0;
  double deviation = 0;
};

Moments moments_of(std::span<const double> values) {
  const auto n = static_cast<double>(values.size());
  Moments m;
  for (const double value : values) m.mean += value / n;
  double squares = 0;
  for (const double value : values) squares += (value - m.mean) * (value - m.mean);
  m.deviation = std::sqrt(squares / (n - 1));
  return m;
}

}  // namespace

double grubbs_statistic(std::span<const double> values, Sides sides) {
  const Moments m = moments_of(values);
  if (m.deviation <= 0) return 0;
  double largest = 0;
  for (const double value : values)
    largest = std::max(largest, sides == Sides::both ? std::abs(value - m.mean) : value - m.mean);
  return largest / m.deviation;
}

double grubbs_critical(std::size_t n, double alpha, Sides sides) {
  const auto count = static_cast<double>(n);
  const double each = alpha / (sides == Sides::both ? 2 * count : count);
  const double t = student_upper_quantile(each, count - 2);
  return (count - 1) / std::sqrt(count) * std::sqrt(t * t / (count - 2 + t * t));
}

double grubbs_probability(double statistic, std::size_t n, Sides sides) {
  const auto count = static_cast<double>(n);
  const double part = statistic * statistic * count / ((count - 1) * (count - 1));
  if (part >= 1) return 0;
  const double t = std::sqrt(part * (count - 2) / (1 - part));
  return std::min(1.0, student_upper_tail(t, count - 2) * count * (sides == Sides::both ? 2 : 1));
}

EsdResult generalised_esd(std::span<const double> values, std::size_t most, double alpha) {
  std::vector<std::size_t> left(values.size());
  for (std::size_t i = 0; i < left.size(); ++i) left[i] = i;
  EsdResult result;
  const auto n = static_cast<double>(values.size());
  for (std::size_t step = 1; step <= most && left.size() > 2; ++step) {
    std::vector<double> rest;
    rest.reserve(left.size());
    for (const std::size_t i : left) rest.push_back(values[i]);
    const Moments m = moments_of(rest);
    if (m.deviation <= 0) break;
    const auto far = std::max_element(left.begin(), left.end(), [&](std::size_t a, std::size_t b) {
      return std::abs(values[a] - m.mean) < std::abs(values[b] - m.mean);
    });
    const auto i = static_cast<double>(step);
    const double t = student_upper_quantile(alpha / (2 * (n - i + 1)), n - i - 1);
    const double critical = (n - i) * t / std::sqrt((n - i - 1 + t * t) * (n - i + 1));
    result.steps.push_back({*far, std::abs(values[*far] - m.mean) / m.deviation, critical});
    if (result.steps.back().statistic > critical) result.outliers = step;
    left.erase(far);
  }
  return result;
}

}  // namespace strandbook
