#pragma once
// Arrays as a crew leaves them: the trace of each against the map that was wanted, its losses against their
// limits, its skew. The worst of them decides: a good loss does not make up for a wrong map.

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "domain/applications/array_lanes.hpp"
#include "domain/applications/array_map.hpp"

namespace strandbook {

/// Names are matched with case and blanks aside, by these functions only.
struct TracedArray {
  std::string name;
  std::optional<int> fibres;  ///< in use, where the record says so
  TracedLanes lanes;
};
struct WantedArray {
  std::string name;
  std::string type;  ///< as wanted_map takes it; empty where the plan leaves it to the whole job's type
  std::optional<int> fibres;
};
struct MeasuredArray {
  std::string name;
  std::vector<LaneValue> lanes;
};

/// What holds for every array that does not say otherwise.
struct ArraySettings {
  std::string type;           ///< wanted; may be empty
  std::optional<int> fibres;  ///< in use
  std::optional<Decibels> loss_limit;
  std::optional<double> skew_limit_ns;
  std::optional<Sourced<double>> group_index;
  Decibels gain_allowance;  ///< a loss below minus this is impossible: reference and reading do not belong
                            ///< together
};

struct SeriesLosses {
  std::string series;
  LaneLosses losses;
};
struct LossJudgement {
  Outcome outcome = Outcome::not_tested;
  std::vector<SeriesLosses> series;
  std::vector<std::string> reasons;
};
struct SkewJudgement {
  Outcome outcome = Outcome::not_tested;
  std::optional<LaneSkew> skew;
  std::optional<Sourced<double>> group_index;
  std::vector<std::string> reasons;
};

struct JudgedArray {
  std::string name;
  Outcome outcome = Outcome::not_tested;  ///< the worst of the three
  MapJudgement map;
  std::optional<WantedMap> wanted;
  std::optional<LossJudgement> loss;  ///< where losses were brought
  std::optional<SkewJudgement> skew;  ///< where lengths were brought or a limit was set
};

/// Lanes and whole arrays within their limits; where lanes fail by chance alone, `expected` arrays are whole.
struct LaneStatistics {
  std::size_t lanes = 0;
  std::size_t lanes_within = 0;
  std::size_t arrays = 0;
  std::size_t arrays_within = 0;
  double expected_arrays = 0;  ///< Σ qⁿ over the arrays
};

struct ArrayCheck {
  std::vector<JudgedArray> arrays;  ///< as wanted, then what was found besides, in the order of the files
  LaneStatistics statistics;
};

struct ArrayRecords {
  std::vector<TracedArray> traced;
  std::vector<WantedArray> wanted;
  std::vector<MeasuredArray> measured;
  bool plan_given = false;  ///< `wanted` is the plan: an array that it does not name is told
  bool losses_given = false;
};

/// Fails where a type is not known or there is no array of so many fibres.
Result<ArrayCheck> judge_arrays(const ArrayRecords& records, const ArraySettings& settings,
                                const ArrayMaps& maps);

/// Losses of one array, or of one link, against the limits that its lanes have. `in_use`: positions that must
/// have a loss where the record names positions at all. Null: nothing was measured.
LossJudgement judge_losses(const MeasuredArray* measured, const LaneMap& in_use, Decibels gain_allowance);

/// The whole job's limit where a lane has none of its own.
MeasuredArray with_limits(MeasuredArray measured, std::optional<Decibels> limit);

/// Case and blanks aside: the key by which names of arrays meet.
std::string name_key(std::string_view name);

}  // namespace strandbook
