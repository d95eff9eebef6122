#include "domain/statistics/change_point.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "domain/statistics/tails.hpp"

namespace strandbook {

LevelChange likeliest_change(std::span<const double> values, std::size_t least) {
  assert(least >= 1 && values.size() >= 2 * least);
  const auto n = static_cast<double>(values.size());
  double mean = 0;
  for (const double value : values) mean += value / n;
  LevelChange best;
  for (const double value : values) best.whole_squares += (value - mean) * (value - mean);
  // What a split takes off the sum of squares is k (n − k) / n times the squared difference of the means.
  double sum = 0;
  double most = -1;
  double sum_at_best = 0;
  for (std::size_t k = 1; k + least <= values.size(); ++k) {
    sum += values[k - 1] - mean;
    if (k < least) continue;
    const auto first = static_cast<double>(k);
    const double taken = sum * sum * n / (first * (n - first));
    if (taken <= most) continue;
    most = taken;
    best.after = k;
    sum_at_best = sum;
  }
  const auto first = static_cast<double>(best.after);
  best.before = mean + sum_at_best / first;
  best.since = mean - sum_at_best / (n - first);
  best.residual_squares = std::max(0.0, best.whole_squares - most);
  best.f = best.residual_squares > 0 ? most / (best.residual_squares / (n - 2)) : HUGE_VAL;
  return best;
}

double change_probability(const LevelChange& change, std::size_t count, std::size_t places) {
  if (count < 3) return 1;
  const double one = f_upper_tail(change.f, 1, static_cast<double>(count) - 2);
  return std::min(1.0, one * static_cast<double>(places));
}

}  // namespace strandbook
