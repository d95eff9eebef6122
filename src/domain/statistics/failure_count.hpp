#pragma once
// How many of many will fail, where each fails by its own chance and all share one deviation.

#include <cstddef>
#include <span>

#include "domain/statistics/pearson_three.hpp"

namespace strandbook {

/// Alike ones: each is `own` independently plus shared_deviation times one normal deviate that everything
/// shares, and fails beyond `limit`.
struct AlikeGroup {
  std::size_t count = 0;
  Cumulants own;
  double shared_deviation = 0;  ///< >= 0
  double limit = 0;
};

struct FailureCount {
  double expected = 0;
  double deviation = 0;  ///< standard deviation
  std::size_t low = 0;   ///< no more than 2.5 % of such jobs have fewer
  std::size_t high = 0;  ///< no more than 2.5 % of such jobs have more
  double none = 1;       ///< probability that not one fails
};

/// Given the shared deviate the failures are independent; their number then is taken as binomial with the
/// same mean and variance (Ehm, Statistics & Probability Letters 11 (1991) 7), and averaged over the deviate.
FailureCount failures_among(std::span<const AlikeGroup> groups);

}  // namespace strandbook
