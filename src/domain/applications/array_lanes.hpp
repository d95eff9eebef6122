#pragma once
// What the lanes of one array say together: the worst, the spread, a slope over the ferrule, and how far
// apart their light arrives.

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "domain/applications/application.hpp"
#include "domain/link/link.hpp"
#include "domain/units/units.hpp"

namespace strandbook {

/// What was measured of one lane in one way.
struct LaneValue {
  int position = 0;    ///< near position; 0 where the record names none: the worst of the array
  std::string series;  ///< lanes are compared only within one: "850 nm AB"; may be empty
  std::optional<Decibels> loss;
  std::optional<Decibels> limit;  ///< the record's own
  std::optional<Metres> length;
  bool dark = false;  ///< no light arrived
};

struct LaneLosses {
  std::size_t count = 0;
  int worst_position = 0;
  Decibels worst;
  std::optional<Decibels> limit;  ///< of the worst
  int best_position = 0;
  Decibels best;
  Decibels mean;
  Decibels spread;                ///< worst − best
  std::optional<Decibels> slope;  ///< per position, least squares; from three positions on
  std::vector<int> over_limit;    ///< positions whose limit is known and exceeded
};

/// Lanes with a loss only. Nothing where there is none.
std::optional<LaneLosses> summary_of(std::span<const LaneValue> lanes);

/// Group index of a kind of fibre at a wavelength: light travels at c / index.
struct GroupIndexRow {
  std::vector<FibreCategory> categories;
  Nanometres wavelength;
  Sourced<double> index;
};
using GroupIndexTable = std::vector<GroupIndexRow>;
const GroupIndexRow* group_index_of(const GroupIndexTable& table, FibreCategory fibre, Nanometres wavelength);

/// Time in which light travels a length: index · length / c, ns. c = 299 792 458 m/s, exact (SI, 2019).
double delay_ns(Metres length, double group_index);

struct LaneSkew {
  int first_position = 0;  ///< of the shortest lane
  int last_position = 0;   ///< of the longest
  Metres difference;
  double skew_ns = 0;
};
/// Nothing where fewer than two lanes have a length.
std::optional<LaneSkew> skew_of(std::span<const LaneValue> lanes, double group_index);

/// Share of arrays of n independent lanes that are wholly good where a share q of lanes is: qⁿ. 0 ≤ q ≤ 1.
double array_pass_probability(double lane_quality, int lanes);
/// Lane quality at which this share of arrays is wholly good: p^(1/n). n ≥ 1.
double lane_quality_needed(double array_quality, int lanes);

}  // namespace strandbook
