#include "domain/diagnosis/spread_estimate.hpp"

#include <algorithm>
#include <cmath>

#include "domain/statistics/robust.hpp"
#include "domain/statistics/tails.hpp"

namespace strandbook {
namespace {

/// Efficiency of the MAD beside the standard deviation for normal data (common practice: 37 %).
constexpr double mad_efficiency = 0.37;

}  // namespace

GroupSpread spread_of(std::span<const double> values, double usual, double weight) {
  std::vector<double> copy(values.begin(), values.end());
  const Centre own = median_and_mad(copy);
  const double degrees = mad_efficiency * (static_cast<double>(values.size()) - 1);
  const double variance = (weight * usual * usual + degrees * own.scale * own.scale) / (weight + degrees);
  // The centre is uncertain too: the median's variance is π/2 of the mean's.
  const double centre_share = 1.57 / static_cast<double>(values.size());
  return {own.location, std::sqrt(variance * (1 + centre_share)), weight + degrees};
}

double GroupSpread::upper_tail(double value, double skewness) const {
  return student_upper_tail(wilson_hilferty_deviate((value - centre) / scale, skewness), degrees);
}

double GroupSpread::both_tails(double value) const {
  return std::min(1.0, 2 * student_upper_tail(std::abs(value - centre) / scale, degrees));
}

}  // namespace strandbook
