#include "domain/statistics/acceptance_sampling.hpp"

#include <algorithm>
#include <cmath>

#include "domain/statistics/tails.hpp"

namespace strandbook {
namespace {

// A risk of exactly 5 % must not be missed by the last binary digit.
constexpr double rounding = 1e-9;
constexpr std::uint32_t largest_process_sample = 20'000;

double log_choose(double n, double k) {
  return std::lgamma(n + 1) - std::lgamma(k + 1) - std::lgamma(n - k + 1);
}

/// Grows the acceptance number until a sample protects both sides. `accepts(plan, share)` is P(accept).
template <class Accepts>
std::optional<SamplingPlan> search(const RiskPoints& points, std::uint32_t most, Accepts accepts) {
  SamplingPlan plan;
  for (plan.size = 1; plan.size <= most; ++plan.size) {
    // The largest acceptance number that still protects the consumer is the kindest to the producer.
    while (accepts(SamplingPlan{plan.size, plan.accept + 1}, points.poor) <= points.consumer_risk + rounding)
      ++plan.accept;
    if (accepts(plan, points.poor) > points.consumer_risk + rounding) continue;
    if (accepts(plan, points.good) >= 1 - points.producer_risk - rounding) return plan;
  }
  return std::nullopt;
}

}  // namespace

double acceptance_probability(const SamplingPlan& plan, std::uint32_t lot, std::uint32_t bad) {
  const std::uint32_t drawn = std::min(plan.size, lot);
  if (plan.accept >= std::min(bad, drawn)) return 1;
  const std::uint32_t good = lot - bad;
  const std::uint32_t least = drawn > good ? drawn - good : 0;
  // Each term by itself: the first may be too small for a double where a later one is not.
  double sum = 0;
  for (std::uint32_t found = least; found <= plan.accept; ++found)
    sum += std::exp(log_choose(bad, found) + log_choose(good, drawn - found) - log_choose(lot, drawn));
  return std::min(1.0, sum);
}

double acceptance_probability(const SamplingPlan& plan, double share) {
  if (share <= 0 || plan.accept >= plan.size) return 1;
  if (share >= 1) return 0;
  return 1 - binomial_upper_tail(plan.accept + 1, plan.size, share);
}

std::uint32_t bad_units(std::uint32_t lot, double share) {
  // 0.05 · 100 is a hair above 5 in binary.
  return static_cast<std::uint32_t>(std::ceil(lot * share - 1e-9));
}

std::optional<SamplingPlan> smallest_plan(const RiskPoints& points, std::uint32_t lot) {
  const std::uint32_t good = static_cast<std::uint32_t>(std::floor(lot * points.good + 1e-9));
  const std::uint32_t poor = bad_units(lot, points.poor);
  if (good >= poor) return std::nullopt;
  return search(points, lot, [&](const SamplingPlan& plan, double share) {
    return acceptance_probability(plan, lot, share == points.good ? good : poor);
  });
}

std::optional<SamplingPlan> smallest_plan(const RiskPoints& points) {
  if (points.good >= points.poor) return std::nullopt;
  return search(points, largest_process_sample,
                [](const SamplingPlan& plan, double share) { return acceptance_probability(plan, share); });
}

std::uint32_t zero_failure_size(std::uint32_t lot, double poor, double risk) {
  const std::uint32_t bad = bad_units(lot, poor);
  for (std::uint32_t size = 1; size < lot; ++size)
    if (acceptance_probability({size, 0}, lot, bad) <= risk + rounding) return size;
  return lot;
}

std::uint32_t most_bad(std::uint32_t lot, std::uint32_t size, std::uint32_t found, double confidence) {
  std::uint32_t low = found;                               // certainly there
  std::uint32_t high = lot - std::min(lot, size) + found;  // all that was not drawn
  while (low < high) {
    const std::uint32_t middle = low + (high - low + 1) / 2;
    if (acceptance_probability({size, found}, lot, middle) > 1 - confidence)
      low = middle;
    else
      high = middle - 1;
  }
  return low;
}

double share_accepted_with(const SamplingPlan& plan, std::uint32_t lot, double probability) {
  std::uint32_t low = 0;
  std::uint32_t high = lot;
  while (low < high) {
    const std::uint32_t middle = low + (high - low) / 2;
    if (acceptance_probability(plan, lot, middle) <= probability)
      high = middle;
    else
      low = middle + 1;
  }
  return lot == 0 ? 0 : static_cast<double>(low) / lot;
}

}  // namespace strandbook
