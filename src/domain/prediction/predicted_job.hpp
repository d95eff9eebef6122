#pragma once
// A whole schedule before its tests: each test's loss against its limit, and how many will fail.

#include <vector>

#include "domain/plan/test_plan.hpp"
#include "domain/prediction/predicted_loss.hpp"
#include "domain/statistics/failure_count.hpp"
#include "domain/verdict/judge.hpp"

namespace strandbook {

struct PredictionGround {
  const Schedule& schedule;
  const Rulebook& rulebook;
  const JudgeSettings& settings;  ///< as the job will be judged
  const ComponentStatistics& parts;
  Acceptance conditional_pass = Acceptance::accepted;
};

/// Alike tests: they have one design, one loss to be expected and one limit.
struct DesignPrediction {
  LinkDesign design;
  std::optional<Limit> limit;
  std::optional<PredictedLoss> loss;
  std::optional<Problem> problem;  ///< why there is no limit or no loss
  double within = 0;               ///< probability that the reading is within the limit
  double clear = 0;                ///< ... by the guard band too
  double accepted = 0;             ///< ... as the owner takes it: one of the two
  Decibels accepted_up_to;         ///< the reading that is still accepted
  bool predicted() const { return limit.has_value() && loss.has_value(); }
};

/// The tests of one strand at one wavelength.
struct PredictedTest {
  std::uint32_t strand = 0;
  std::uint32_t design = 0;
  Nanometres wavelength;
  int directions = 1;  ///< 2 where both are due
};

struct LinkPrediction {
  std::string link;
  std::uint32_t strands = 0;
  std::size_t tests = 0;         ///< directions counted
  std::uint32_t passes = 0;      ///< connections of strands: strands times directions
  std::uint32_t worst = 0;       ///< design least likely to be accepted, or one that cannot be predicted
  double expected_failures = 0;  ///< strands
  std::vector<std::uint32_t> designs;
};

struct JobPrediction {
  std::vector<DesignPrediction> designs;
  std::vector<PredictedTest> tests;   ///< in the order of the schedule
  std::vector<LinkPrediction> links;  ///< those least likely to be accepted first
  FailureCount failures;              ///< strands of which at least one test is not accepted
  double expected_failing_tests = 0;  ///< directions counted
  std::size_t planned = 0;            ///< tests, directions counted
  std::size_t not_predicted = 0;      ///< of them
};

/// Fails only where a schedule row names an unknown rule.
Result<JobPrediction> predict_job(const PredictionGround& ground);

/// One design by itself.
DesignPrediction predict_design(const LinkDesign& design, const PredictionGround& ground);

}  // namespace strandbook
