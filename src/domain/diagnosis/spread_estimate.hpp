#pragma once
// How far apart neighbours lie: what the group shows, held up by what is usual.

#include <cstdint>
#include <span>
#include <vector>

namespace strandbook {

/// Robust centre of a group and a scale with its degrees of freedom. The scale is the usual one weighed with
/// the group's own (an inverse-gamma prior on the variance), so that four strands alike by chance do not make
/// the fifth a wonder, and a group that truly scatters is not full of alarms.
struct GroupSpread {
  double centre = 0;
  double scale = 1;
  double degrees = 1;
  /// Probability that a neighbour with nothing wrong lies as far above the centre.
  double upper_tail(double value, double skewness) const;
  /// The same either way, without skewness.
  double both_tails(double value) const;
};

/// `usual` counts as `weight` degrees of freedom.
GroupSpread spread_of(std::span<const double> values, double usual, double weight);

/// Takes from each value the median of those with the same key, where there are at least `enough` of them;
/// the others lose the median of all. Strands measured under different references are so compared with their
/// own kind.
void centre_by_key(std::span<double> values, std::span<const std::uint64_t> keys, std::size_t enough);

}  // namespace strandbook
