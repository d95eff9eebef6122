#include "workflow/predict_job.hpp"

#include <fmt/format.h>

#include "edge/exchange/connector_grade_file.hpp"
#include "edge/exchange/practice_file.hpp"
#include "edge/exchange/prediction_file.hpp"

namespace strandbook {
namespace {

Problem unknown_grade(const char* option, const std::string& name, FibreMode mode,
                      const ConnectorGrades& grades) {
  std::string offered;
  for (const AttenuationGrade& each : grades.attenuation)
    if (each.mode == mode) offered += (offered.empty() ? "" : ", ") + each.name;
  return {{option, {}, 0, {}}, "grade \"" + name + "\"", "one of " + offered, "Name one of these."};
}

std::optional<Problem> set_grade(const std::optional<std::string>& wished, FibreMode mode, const char* option,
                                 const ConnectorGrades& grades, Sourced<std::string>& into) {
  if (!wished) return std::nullopt;
  const AttenuationGrade* grade = attenuation_grade(grades, *wished);
  if (grade == nullptr || grade->mode != mode) return unknown_grade(option, *wished, mode, grades);
  into = {*wished, {"job", "", "", Standing::own, ""}};
  return std::nullopt;
}

void set_number(const std::optional<double>& wished, Sourced<double>& into) {
  if (wished) into = {*wished, {"job", "", "", Standing::own, ""}};
}

std::string words_on(const LinkPrediction& link, const DesignPrediction& worst) {
  const PredictedLoss& loss = *worst.loss;
  if (worst.limit->value.value < loss.total.mean)
    return fmt::format("{} at {} nm: the limit of {:.2f} dB is below the loss to be expected, {:.2f} dB.",
                       link.link, worst.design.question.wavelength.value, worst.limit->value.value,
                       loss.total.mean);
  return fmt::format(
      "{} at {} nm: {} % of the tests will be accepted with a limit of {:.2f} dB and an expected "
      "loss of {:.2f} dB.",
      link.link, worst.design.question.wavelength.value, percent_words(worst.accepted),
      worst.limit->value.value, loss.total.mean);
}

std::vector<PredictionWarning> warnings_of(const JobPrediction& job, const PredictionGround& ground,
                                           double least) {
  std::vector<PredictionWarning> warnings;
  std::vector<std::optional<std::vector<Mend>>> known(job.designs.size());
  for (std::uint32_t i = 0; i < job.links.size(); ++i) {
    const LinkPrediction& link = job.links[i];
    const DesignPrediction& worst = job.designs[link.worst];
    if (!worst.predicted() || worst.accepted >= least) continue;
    if (!known[link.worst]) known[link.worst] = mends_of(worst, ground, least);
    const bool hopeless = worst.limit->value.value < worst.loss->total.mean;
    warnings.push_back({i, hopeless, *known[link.worst], words_on(link, worst)});
  }
  return warnings;
}

}  // namespace

Result<ComponentStatistics> know_components(const PredictionWish& wish) {
  const Result<std::string> folder = find_rules_folder();
  if (!folder) return folder.problem();
  Result<ConnectorGrades> grades = read_connector_grades(*folder + "/connector-grades/connector-grades.json");
  if (!grades) return grades.problem();
  Result<Practice> practice = read_practice(*folder + "/practice");
  if (!practice) return practice.problem();
  ComponentStatistics known;
  known.grades = std::move(*grades);
  known.attenuation = std::move(practice->diagnosis.attenuation);
  for (TypicalAttenuation& row : known.attenuation)
    if (row.source.document.empty()) row.source.document = usual_losses;
  const std::string path = wish.components.empty() ? *folder + "/practice/prediction.json" : wish.components;
  Result<ComponentStatistics> parts = read_prediction_file(path, std::move(known));
  if (!parts) return parts;
  if (const auto problem = set_grade(wish.multimode_grade, FibreMode::multimode, "--grade-multimode",
                                     parts->grades, parts->multimode_grade))
    return *problem;
  if (const auto problem = set_grade(wish.single_mode_grade, FibreMode::single_mode, "--grade", parts->grades,
                                     parts->single_mode_grade))
    return *problem;
  set_number(wish.least_probability, parts->least_probability);
  set_number(wish.link_minutes, parts->times.link_minutes);
  set_number(wish.strand_minutes, parts->times.strand_minutes);
  set_number(wish.reading_minutes, parts->times.reading_minutes);
  set_number(wish.day_hours, parts->times.day_hours);
  return parts;
}

Result<PredictedWork> predict_schedule(const Schedule& schedule, const Rulebook& rulebook,
                                       const JudgeSettings& settings, const DecisionRule& decision,
                                       const PredictionWish& wish) {
  Result<ComponentStatistics> parts = know_components(wish);
  if (!parts) return parts.problem();
  PredictedWork work;
  work.parts = std::move(*parts);
  work.least_probability = work.parts.least_probability.value;
  const PredictionGround ground{schedule, rulebook, settings, work.parts, decision.conditional_pass};
  Result<JobPrediction> job = predict_job(ground);
  if (!job) return job.problem();
  work.job = std::move(*job);
  work.warnings = warnings_of(work.job, ground, work.least_probability);
  work.crews = plan_crews(work.job, work.parts.times, wish.crews);
  return work;
}

Result<PredictedWork> predict_work(const JudgedWork& work, const PredictionWish& wish) {
  return predict_schedule(work.job.assessment.schedule, *work.rulebook, work.settings, work.decision, wish);
}

bool all_likely(const PredictedWork& work) { return work.warnings.empty() && work.job.not_predicted == 0; }

}  // namespace strandbook
