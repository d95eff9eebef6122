#pragma once
// Before the job: what its tests will read, which designs cannot hold, how long the tests take.

#include <optional>
#include <string>
#include <vector>

#include "domain/diagnosis/finding.hpp"
#include "domain/prediction/crew_plan.hpp"
#include "domain/prediction/mend.hpp"
#include "workflow/judge_job.hpp"

namespace strandbook {

/// What the person settles of a prediction; empty: as the statistics have it.
struct PredictionWish {
  std::string components;  ///< a file in the form of rules/practice/prediction.json
  std::optional<std::string> multimode_grade;
  std::optional<std::string> single_mode_grade;
  std::optional<double> least_probability;
  std::optional<double> link_minutes;
  std::optional<double> strand_minutes;
  std::optional<double> reading_minutes;
  std::optional<double> day_hours;
  std::size_t crews = 1;
};

/// A design that is named first, and what would mend it.
struct PredictionWarning {
  std::uint32_t link = 0;  ///< index into JobPrediction::links
  bool hopeless = false;   ///< the limit is below the loss to be expected
  std::vector<Mend> mends;
  std::string words;  ///< a sentence
};

struct PredictedWork {
  ComponentStatistics parts;
  JobPrediction job;
  CrewPlan crews;
  std::vector<PredictionWarning> warnings;  ///< worst first
  double least_probability = 0;
};

/// The shipped statistics, or a file of the job's own in their place, with grades as wished.
Result<ComponentStatistics> know_components(const PredictionWish& wish);

/// `settings`: as the job will be judged; `decision`: what the owner takes.
Result<PredictedWork> predict_schedule(const Schedule& schedule, const Rulebook& rulebook,
                                       const JudgeSettings& settings, const DecisionRule& decision,
                                       const PredictionWish& wish);
/// The same of a job that was read in, its schedule only.
Result<PredictedWork> predict_work(const JudgedWork& work, const PredictionWish& wish);

/// True where every test can be predicted and no design is named as a warning.
bool all_likely(const PredictedWork& work);

/// As `predict --json` prints it: every design and every test. `left`: what of the schedule was not read.
std::string prediction_json(const PredictedWork& work, const Schedule& schedule,
                            const std::vector<Problem>& left);
/// As a screen shows it: the first links, worst first, each with its worst design and points of its curve.
std::string prediction_view_json(const PredictedWork& work, std::size_t most_links);

}  // namespace strandbook
