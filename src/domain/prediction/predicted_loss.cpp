#include "domain/prediction/predicted_loss.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "domain/rulebook/connection_counts.hpp"
#include "domain/rulebook/settled_question.hpp"

namespace strandbook {
namespace {

/// What a reading will hold, everything settled.
struct Path {
  FibreCategory fibre = FibreCategory::os2;
  FibreMode mode = FibreMode::single_mode;
  Nanometres wavelength;
  Metres length;
  int splices = 0;
  CordGrade cords = CordGrade::standard_grade;
  ConnectionCounts counts;
};

Problem not_stated(const char* what) {
  return {{}, {}, what, "Write it into the schedule: nothing can be predicted without it."};
}

std::optional<Problem> what_is_missing(const LimitQuestion& question) {
  if (question.wavelength.value <= 0)
    return Problem{{}, {}, "the wavelengths of the test", "Give them in the schedule or with --wavelengths."};
  if (!question.fibre) return not_stated("the fibre category, such as OM4 or OS2");
  if (!question.length) return not_stated("the length in metres");
  if (!question.connections) return not_stated("the number of connections");
  return std::nullopt;
}

/// The method is settled before anything is: without one a prediction is as for one cord.
LimitQuestion with_method(const LinkDesign& design) {
  LimitQuestion question = design.question;
  if (!question.method && design.rule != nullptr)
    question.method = design.rule->reference_method_when_unstated;
  if (!question.method) question.method = ReferenceMethod::one_cord;
  return question;
}

Path path_of(const LinkDesign& design) {
  const LimitQuestion question = with_method(design);
  Path path{*question.fibre,
            mode_of(*question.fibre),
            question.wavelength,
            *question.length,
            question.splices.value_or(0),
            question.cords.value_or(CordGrade::standard_grade),
            {}};
  Configuration configuration = question.configuration.value_or(Configuration::link);
  if (design.rule != nullptr) {
    const SettledQuestion settled = settle(*design.rule, question);
    configuration = settled.configuration;
    path.wavelength = settled.wavelength;
  }
  path.counts = counts_of(*question.connections, question.method, configuration);
  return path;
}

class Prediction {
 public:
  Prediction(const Path& path, const ComponentStatistics& parts, const AttenuationGrade& grade)
      : path_(path), parts_(parts), grade_(grade) {}

  std::optional<Problem> fibre() {
    DiagnosisPractice table;
    table.attenuation = parts_.attenuation;
    const TypicalAttenuation* row = typical_at(table, path_.fibre, path_.wavelength);
    if (row == nullptr)
      return Problem{
          {},
          fmt::format("no usual attenuation for {} at {} nm", text_of(path_.fibre), path_.wavelength.value),
          "such a row in the component statistics",
          "Bring your own statistics with the cable maker's figure (--components)."};
    const double kilometres = path_.length.value / 1000;
    const double deviation = row->deviation.value * kilometres;
    loss_.parts.push_back(
        {"fibre", kilometres, {row->typical.value}, row->typical * path_.length, {deviation}, row->source});
    shared_variance_ = deviation * deviation;
    fibre_mean_ = (row->typical * path_.length).value;
    return std::nullopt;
  }

  std::optional<Problem> connections() {
    const auto curve = gamma_through(grade_.mean.value.value, grade_.most.value.value, grade_.share.value);
    if (!curve) return no_curve(grade_);
    const Cumulants random = cumulants_of(*curve);
    const bool reference = path_.cords == CordGrade::reference_grade;
    const double share = reference ? parts_.reference_plug_share.value : 1;
    add("end connections", path_.counts.ends, scaled(share, random),
        reference ? parts_.reference_plug_share.source : grade_.mean.source);
    add("embedded connections", path_.counts.embedded, random, grade_.mean.source);
    return path_.counts.joins > 0 ? joins(random) : std::nullopt;
  }

  std::optional<Problem> splices() {
    if (path_.splices == 0) return std::nullopt;
    const auto row = std::find_if(parts_.splices.begin(), parts_.splices.end(),
                                  [this](const SpliceStatistics& each) { return each.mode == path_.mode; });
    if (row == parts_.splices.end())
      return Problem{{}, {}, "a usual loss of splices in the component statistics", ""};
    add("splices", path_.splices, cumulants_of(gamma_with(row->mean.value, row->deviation.value)),
        row->source);
    return std::nullopt;
  }

  PredictedLoss with_reading(const UncertaintyModel& model) {
    const Decibels expected{loss_.own.mean + fibre_mean_};
    const LossConditions at{path_.mode, path_.wavelength, expected, path_.length, false, std::nullopt};
    const StandardUncertainty u = UncertaintyBudget(model, path_.mode, path_.wavelength).of(at);
    const double shared = u.shared.value * u.shared.value;
    loss_.uncertainty = u.combined;
    loss_.own.variance += u.combined.value * u.combined.value - shared;
    shared_variance_ += shared;
    loss_.shared = {std::sqrt(shared_variance_)};
    loss_.total = loss_.own + Cumulants{fibre_mean_, shared_variance_, 0};
    // The own part holds the mean of everything, so that a limit stands against it as it is.
    loss_.own.mean = loss_.total.mean;
    loss_.parts.push_back(
        {"reading", 1, {0}, {0}, u.combined, {"JCGM 100", "2008", "", Standing::common_practice, ""}});
    return loss_;
  }

  std::vector<std::string>& notes() { return loss_.notes; }

 private:
  static Problem no_curve(const AttenuationGrade& grade) {
    return {{},
            fmt::format("grade {} with mean {:g} and {:g} dB", grade.name, grade.mean.value.value,
                        grade.most.value.value),
            "two values that a gamma curve passes",
            "Correct the grade in the component statistics."};
  }

  void add(const char* term, int count, const Cumulants& each, const RuleRef& source) {
    if (count == 0) return;
    const Cumulants line = sum_of(count, each);
    loss_.own = loss_.own + line;
    loss_.parts.push_back(
        {term, static_cast<double>(count), {each.mean}, {line.mean}, {std::sqrt(line.variance)}, source});
  }

  std::optional<Problem> joins(const Cumulants& random) {
    if (path_.cords != CordGrade::reference_grade) {
      add("reference joins", -path_.counts.joins, random, grade_.mean.source);
      return std::nullopt;
    }
    const auto row = std::find_if(parts_.reference_joins.begin(), parts_.reference_joins.end(),
                                  [this](const AttenuationGrade& each) { return each.mode == path_.mode; });
    if (row == parts_.reference_joins.end())
      return Problem{{}, {}, "a usual loss of reference joins in the component statistics", ""};
    const auto curve = gamma_through(row->mean.value.value, row->most.value.value, row->share.value);
    if (!curve) return no_curve(*row);
    add("reference joins", -path_.counts.joins, cumulants_of(*curve), row->mean.source);
    return std::nullopt;
  }

  const Path& path_;
  const ComponentStatistics& parts_;
  const AttenuationGrade& grade_;
  PredictedLoss loss_;
  double shared_variance_ = 0;
  double fibre_mean_ = 0;
};

}  // namespace

const AttenuationGrade* grade_of(const LinkDesign& design, const ComponentStatistics& parts) {
  if (!design.question.fibre) return nullptr;
  const bool multimode = mode_of(*design.question.fibre) == FibreMode::multimode;
  const std::string& usual = multimode ? parts.multimode_grade.value : parts.single_mode_grade.value;
  return attenuation_grade(parts.grades, design.grade.value_or(usual));
}

Result<Limit> limit_of(const LinkDesign& design) {
  if (design.fixed) return fixed_limit(*design.fixed, {"job", "", "limit_db", Standing::own, ""});
  if (design.rule == nullptr)
    return Problem{
        {}, "no rule and no limit", "a rule or limit_db", "Name a rule with --rule or in the schedule."};
  return limit_of(*design.rule, with_method(design));
}

Result<PredictedLoss> predict_loss(const LinkDesign& design, const ComponentStatistics& parts,
                                   const UncertaintyModel& uncertainty) {
  if (auto problem = what_is_missing(design.question)) return *problem;
  const AttenuationGrade* grade = grade_of(design, parts);
  if (grade == nullptr)
    return Problem{{}, "no such grade of connections", "a grade of the component statistics", ""};
  const Path path = path_of(design);
  Prediction prediction(path, parts, *grade);
  if (auto problem = prediction.fibre()) return *problem;
  if (auto problem = prediction.connections()) return *problem;
  if (auto problem = prediction.splices()) return *problem;
  if (!design.question.method && (design.rule == nullptr || !design.rule->reference_method_when_unstated))
    prediction.notes().emplace_back("Reference method not stated: predicted as for one cord.");
  if (!design.question.cords)
    prediction.notes().emplace_back(
        "Grade of the test cords not stated: end connections predicted as against standard cords.");
  return prediction.with_reading(uncertainty);
}

}  // namespace strandbook
