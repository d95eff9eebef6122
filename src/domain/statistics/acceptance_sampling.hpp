#pragma once
// Attribute sampling: how likely a sample accepts a lot, and which sample is enough.

#include <cstdint>
#include <optional>

namespace strandbook {

/// Draw `size`, accept where at most `accept` of them are bad.
struct SamplingPlan {
  std::uint32_t size = 0;
  std::uint32_t accept = 0;
  bool operator==(const SamplingPlan&) const = default;
};

/// P(accept) of a lot with `bad` of `lot` bad units: hypergeometric. A sample larger than the lot is the lot.
double acceptance_probability(const SamplingPlan& plan, std::uint32_t lot, std::uint32_t bad);
/// P(accept) of a process with this share of bad units, 0 to 1: binomial, for lots that are large beside n.
double acceptance_probability(const SamplingPlan& plan, double share);

/// Bad units that make up a share of a lot, rounded up.
std::uint32_t bad_units(std::uint32_t lot, double share);

/// Lots as good as `good` are accepted with at least 1 − producer_risk, lots as bad as `poor` with at most
/// consumer_risk. Shares and risks 0 to 1, good < poor.
struct RiskPoints {
  double good = 0;
  double producer_risk = 0.05;
  double poor = 0;
  double consumer_risk = 0.1;
};
/// The smallest plan for an isolated lot; nothing where the good share is not the smaller number of
/// units.
std::optional<SamplingPlan> smallest_plan(const RiskPoints& points, std::uint32_t lot);
/// The same for a process.
std::optional<SamplingPlan> smallest_plan(const RiskPoints& points);

/// The smallest n that, with none bad accepted, accepts a lot with that share of bad units with at most
/// `risk`; the whole lot where no less does it.
std::uint32_t zero_failure_size(std::uint32_t lot, double poor, double risk);

/// The largest number of bad units in the lot under which `found` or fewer in the sample still come with more
/// than 1 − confidence: an exact upper bound. Found ones are counted.
std::uint32_t most_bad(std::uint32_t lot, std::uint32_t size, std::uint32_t found, double confidence);

/// The share of bad units at which the plan accepts with this probability, in the lot, by halving.
double share_accepted_with(const SamplingPlan& plan, std::uint32_t lot, double probability);

}  // namespace strandbook
