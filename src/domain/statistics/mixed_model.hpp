#pragma once
// Values in groups that differ by themselves: analysis of variance, and a penalised fit with group effects.

#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

namespace strandbook {

/// One-way analysis of variance of groups of any sizes; at least two groups and more values than groups.
struct OneWay {
  double between = 0;  ///< mean square between groups
  double within = 0;   ///< mean square within groups
  double f = 0;
  double probability = 1;
  double mean = 0;
  double group_variance = 0;  ///< max(0, (between − within) / n₀), n₀ the effective group size
};
OneWay one_way(const std::vector<std::vector<double>>& groups);

/// y = xβ + r_group + error, each row with its own error variance; β has a normal prior, r ~ N(0, spread²).
/// This is the best linear unbiased prediction with known variances (Henderson), so a β or r that the data
/// cannot tell apart keeps its prior's width instead of a false precision.
struct GroupRow {
  double y = 0;
  std::array<double, 3> x{};
  double variance = 1;  ///< of the error, > 0
  std::size_t group = 0;
  bool operator==(const GroupRow&) const = default;
};
struct PriorValue {
  double mean = 0;
  double deviation = 1;  ///< > 0
  bool operator==(const PriorValue&) const = default;
};
struct GroupEffect {
  double value = 0;
  double deviation = 0;  ///< posterior standard deviation, that of β included
};
struct GroupFit {
  std::array<double, 3> beta{};
  std::array<double, 3> beta_deviation{};
  std::array<std::array<double, 3>, 3> covariance{};  ///< of β
  std::vector<GroupEffect> effects;
};
/// Huber weights at `tuning` standard deviations hold down rows that fit nowhere; 0 takes all as they are.
std::optional<GroupFit> fit_groups(std::span<const GroupRow> rows, std::size_t groups,
                                   const std::array<PriorValue, 3>& priors, double spread, double tuning);

}  // namespace strandbook
