#include "domain/prediction/mend.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace strandbook {

std::string_view text_of(MendKind kind) {
  switch (kind) {
    case MendKind::reference_cords:
      return "reference cords";
    case MendKind::better_connections:
      return "better connections";
    case MendKind::fewer_connections:
      return "fewer connections";
    case MendKind::fewer_splices:
      return "fewer splices";
    case MendKind::shorter:
      return "shorter";
    case MendKind::higher_limit:
      return "higher limit";
  }
  return {};
}

std::string percent_words(double share) {
  if (share > 0 && share < 0.001) return "< 0.1";
  if (share < 1 && share > 0.999) return "> 99.9";
  return fmt::format("{:.1f}", share * 100);
}

namespace {

constexpr int ends = 2;

class Mending {
 public:
  Mending(const DesignPrediction& now, const PredictionGround& ground, double least)
      : now_(now), ground_(ground), least_(least) {}

  std::vector<Mend> all() {
    reference_cords();
    better_connections();
    fewer_connections();
    fewer_splices();
    shorter();
    higher_limit();
    return std::move(mends_);
  }

 private:
  /// The probability of acceptance after a change; 0 where it cannot be told.
  double with(const LinkDesign& changed) const { return predict_design(changed, ground_).accepted; }

  void reference_cords() {
    if (now_.design.question.cords == CordGrade::reference_grade) return;
    LinkDesign changed = now_.design;
    changed.question.cords = CordGrade::reference_grade;
    const double accepted = with(changed);
    if (accepted < least_) return;
    mends_.push_back({.kind = MendKind::reference_cords,
                      .accepted = accepted,
                      .words = fmt::format("Test with reference-grade cords: then {} % are accepted.",
                                           percent_words(accepted))});
  }

  void better_connections() {
    const AttenuationGrade* present = grade_of(now_.design, ground_.parts);
    const AttenuationGrade* best = nullptr;
    double best_accepted = 0;
    for (const AttenuationGrade& grade : ground_.parts.grades.attenuation) {
      if (grade.mode != present->mode || grade.mean.value >= present->mean.value) continue;
      if (best != nullptr && grade.mean.value <= best->mean.value) continue;  // the least that is enough
      LinkDesign changed = now_.design;
      changed.grade = grade.name;
      const double accepted = with(changed);
      if (accepted < least_) continue;
      best = &grade;
      best_accepted = accepted;
    }
    if (best == nullptr) return;
    mends_.push_back({.kind = MendKind::better_connections,
                      .grade = best->name,
                      .accepted = best_accepted,
                      .words = fmt::format("Connections of grade {} in place of {}: then {} % are accepted.",
                                           best->name, present->name, percent_words(best_accepted))});
  }

  /// The largest number below the present one that is enough; nothing where none is.
  template <class Set>
  std::optional<Mend> fewer(MendKind kind, int present, int fewest, Set set) const {
    for (int count = present - 1; count >= fewest; --count) {
      LinkDesign changed = now_.design;
      set(changed.question, count);
      const double accepted = with(changed);
      if (accepted >= least_) return Mend{.kind = kind, .count = count, .accepted = accepted};
    }
    return std::nullopt;
  }

  void fewer_connections() {
    auto mend = fewer(MendKind::fewer_connections, *now_.design.question.connections, ends,
                      [](LimitQuestion& question, int count) { question.connections = count; });
    if (!mend) return;
    mend->words = fmt::format("{} connections in place of {}: then {} % are accepted.", mend->count,
                              *now_.design.question.connections, percent_words(mend->accepted));
    mends_.push_back(std::move(*mend));
  }

  void fewer_splices() {
    auto mend = fewer(MendKind::fewer_splices, now_.design.question.splices.value_or(0), 0,
                      [](LimitQuestion& question, int count) { question.splices = count; });
    if (!mend) return;
    mend->words = fmt::format("{} splices in place of {}: then {} % are accepted.", mend->count,
                              now_.design.question.splices.value_or(0), percent_words(mend->accepted));
    mends_.push_back(std::move(*mend));
  }

  void shorter() {
    const double present = now_.design.question.length->value;
    LinkDesign changed = now_.design;
    const auto accepted_at = [&](double metres) {
      changed.question.length = Metres{metres};
      return with(changed);
    };
    // A link shortened to a tenth is another link.
    double enough = present / 10;
    if (accepted_at(enough) < least_) return;
    double too_long = present;
    while (too_long - enough > 1) {
      const double middle = (enough + too_long) / 2;
      (accepted_at(middle) >= least_ ? enough : too_long) = middle;
    }
    const double metres = std::floor(enough);
    const double accepted = accepted_at(metres);
    if (accepted < least_ || metres < 1) return;
    mends_.push_back({.kind = MendKind::shorter,
                      .length = {metres},
                      .accepted = accepted,
                      .words = fmt::format("{:.0f} m in place of {:.0f} m: then {} % are accepted.", metres,
                                           present, percent_words(accepted))});
  }

  void higher_limit() {
    const PredictedLoss& loss = *now_.loss;
    const double guard = (now_.limit->value - now_.accepted_up_to).value;
    const Decibels limit{std::ceil((quantile(loss.total, least_) + guard) * 100) / 100};
    mends_.push_back(
        {.kind = MendKind::higher_limit,
         .limit = limit,
         .accepted = 1 - upper_tail(loss.total, limit.value - guard),
         .words = fmt::format("A limit of {:.2f} dB in place of {:.2f} dB: ask the owner before the "
                              "work begins, not after it.",
                              limit.value, now_.limit->value.value)});
  }

  const DesignPrediction& now_;
  const PredictionGround& ground_;
  double least_;
  std::vector<Mend> mends_;
};

}  // namespace

std::vector<Mend> mends_of(const DesignPrediction& design, const PredictionGround& ground, double least) {
  if (!design.predicted() || design.accepted >= least) return {};
  return Mending(design, ground, least).all();
}

}  // namespace strandbook
