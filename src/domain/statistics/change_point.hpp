#pragma once
// Where a series changed its level, after the fact.

#include <cstddef>
#include <span>

namespace strandbook {

struct LevelChange {
  std::size_t after = 0;        ///< the first `after` values lie before the change
  double before = 0;            ///< mean of these
  double since = 0;             ///< mean of the rest
  double residual_squares = 0;  ///< about both means
  double whole_squares = 0;     ///< about one mean
  double f = 0;                 ///< F statistic of the split with n − 2 degrees of freedom
};

/// The split with the least sum of squares; each part has at least `least` values (≥ 1). Needs at least
/// 2·least values. Linear.
LevelChange likeliest_change(std::span<const double> values, std::size_t least);

/// Probability that values without a change show a split as good anywhere: Bonferroni over the places, hence
/// not above the stated one. `places` is how many splits were looked at.
double change_probability(const LevelChange& change, std::size_t count, std::size_t places);

}  // namespace strandbook
