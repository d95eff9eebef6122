#include "domain/statistics/failure_count.hpp"

#include <algorithm>
#include <boost/math/special_functions/beta.hpp>
#include <boost/math/special_functions/gamma.hpp>
#include <cmath>
#include <numbers>
#include <vector>

#include "domain/statistics/gauss_legendre.hpp"

namespace strandbook {
namespace {

constexpr std::size_t quadrature_points = 64;
constexpr double furthest = 6.5;  // standard deviations of the shared deviate
constexpr double tail = 0.025;

/// The number of failures at one value of the shared deviate.
struct Conditional {
  double weight = 0;
  double mean = 0;
  double variance = 0;
  double none = 1;
  std::size_t all = 0;
};

Conditional at_deviate(std::span<const AlikeGroup> groups, double deviate, double weight) {
  Conditional given;
  given.weight = weight;
  double log_none = 0;
  for (const AlikeGroup& group : groups) {
    const double p = upper_tail(group.own, group.limit - group.shared_deviation * deviate);
    const auto n = static_cast<double>(group.count);
    given.mean += n * p;
    given.variance += n * p * (1 - p);
    log_none += n * std::log1p(-std::min(p, 1 - 1e-16));
    given.all += group.count;
  }
  given.none = std::exp(log_none);
  return given;
}

/// P(N ≤ k) of the binomial with this mean and variance; its number of trials need not be whole.
double at_most_failing(const Conditional& given, double k) {
  if (k >= static_cast<double>(given.all) || given.mean <= 0) return 1;
  if (k < 0) return 0;
  const double share = 1 - given.variance / given.mean;
  if (share <= 1e-12) return 1 - boost::math::gamma_p(k + 1, given.mean);  // rare: Poisson
  if (share >= 1 - 1e-12) return k + 0.5 < given.mean ? 0 : 1;             // certain
  const double trials = given.mean / share;
  return k >= trials ? 1 : boost::math::ibetac(k + 1, trials - k, share);
}

std::size_t count_quantile(const std::vector<Conditional>& mixture, std::size_t all, double p) {
  const auto reached = [&](std::size_t k) {
    double sum = 0;
    for (const Conditional& given : mixture)
      sum += given.weight * at_most_failing(given, static_cast<double>(k));
    return sum >= p;
  };
  std::size_t low = 0;
  std::size_t high = all;
  while (low < high) {
    const std::size_t middle = low + (high - low) / 2;
    if (reached(middle))
      high = middle;
    else
      low = middle + 1;
  }
  return low;
}

std::vector<Conditional> mixture_of(std::span<const AlikeGroup> groups) {
  const Quadrature rule = gauss_legendre(quadrature_points, -furthest, furthest);
  std::vector<Conditional> mixture;
  double whole = 0;
  for (std::size_t i = 0; i < rule.nodes.size(); ++i) {
    const double z = rule.nodes[i];
    const double weight = rule.weights[i] * std::exp(-z * z / 2) / std::sqrt(2 * std::numbers::pi);
    mixture.push_back(at_deviate(groups, z, weight));
    whole += weight;
  }
  for (Conditional& given : mixture) given.weight /= whole;
  return mixture;
}

}  // namespace

FailureCount failures_among(std::span<const AlikeGroup> groups) {
  FailureCount result;
  std::size_t all = 0;
  for (const AlikeGroup& group : groups) all += group.count;
  if (all == 0) return result;
  const std::vector<Conditional> mixture = mixture_of(groups);
  double second = 0;
  result.none = 0;
  for (const Conditional& given : mixture) {
    result.expected += given.weight * given.mean;
    second += given.weight * (given.variance + given.mean * given.mean);
    result.none += given.weight * given.none;
  }
  result.deviation = std::sqrt(std::max(0.0, second - result.expected * result.expected));
  result.low = count_quantile(mixture, all, tail);
  result.high = count_quantile(mixture, all, 1 - tail);
  return result;
}

}  // namespace strandbook
