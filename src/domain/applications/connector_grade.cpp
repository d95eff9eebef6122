#include "domain/applications/connector_grade.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "domain/verdict/assessment.hpp"

namespace strandbook {
namespace {

constexpr double confidence = 0.95;

/// Different cord ends; 0 where a mating does not name its cord.
std::size_t plugs_of(std::span<const Mating> matings) {
  std::set<std::pair<std::string, std::string>> plugs;
  for (const Mating& each : matings) {
    if (each.cord.empty()) return 0;
    plugs.emplace(each.cord, each.end);
  }
  return plugs.size();
}

Decibels mean_of(std::span<const Mating> matings) {
  Decibels sum;
  for (const Mating& each : matings) sum += each.loss;
  return sum / static_cast<double>(matings.size());
}

std::optional<Decibels> standard_error_of(std::span<const Mating> matings, Decibels mean) {
  if (matings.size() < 2) return std::nullopt;
  double squares = 0;
  for (const Mating& each : matings) squares += std::pow((each.loss - mean).value, 2);
  const auto n = static_cast<double>(matings.size());
  return Decibels{std::sqrt(squares / (n - 1) / n)};
}

MeanJudgement judge_mean(std::span<const Mating> matings, Decibels limit) {
  const Decibels mean = mean_of(matings);
  const std::optional<Decibels> error = standard_error_of(matings, mean);
  const Outcome plain = at_most(mean, limit) ? Outcome::conditional_pass : Outcome::conditional_fail;
  return {error ? decide(mean, limit, *error, GuardBand::expanded_uncertainty) : plain, mean, error};
}

ShareJudgement judge_share(std::span<const Mating> matings, const AttenuationGrade& grade) {
  const std::size_t n = matings.size();
  ShareJudgement judged;
  judged.within =
      static_cast<std::size_t>(std::count_if(matings.begin(), matings.end(), [&](const Mating& each) {
        return at_most(each.loss, grade.most.value);
      }));
  const auto count = static_cast<double>(n);
  // 0.03 · 100 is a hair below 3 in binary.
  judged.may_exceed = static_cast<std::size_t>(std::floor((1 - grade.share.value) * count + 1e-9));
  judged.share = static_cast<double>(judged.within) / count;
  judged.proven_share = proven_share(judged.within, n, confidence);
  const bool kept = n - judged.within <= judged.may_exceed;
  judged.outcome = !kept ? Outcome::fail : judged.may_exceed == 0 ? Outcome::conditional_pass : Outcome::pass;
  return judged;
}

ReturnLossJudgement judge_return_loss(std::span<const Mating> matings, Decibels least) {
  ReturnLossJudgement judged;
  for (std::size_t i = 0; i < matings.size(); ++i) {
    const std::optional<Decibels>& found = matings[i].return_loss;
    if (!found) continue;
    ++judged.measured;
    judged.least = judged.least ? std::min(*judged.least, *found) : *found;
    if (!at_most(least, *found)) judged.below.push_back(i);
  }
  judged.outcome = !judged.below.empty()              ? Outcome::fail
                   : judged.measured < matings.size() ? Outcome::not_tested
                                                      : Outcome::pass;
  return judged;
}

std::string words_on_share(const CordsJudgement& all, const AttenuationGrade& grade) {
  const ShareJudgement& share = all.share;
  std::string text =
      fmt::format("{} of {} matings ({:.1f} %) are within {:.2f} dB; wanted are {:.0f} %.", share.within,
                  all.matings, share.share * 100, grade.most.value.value, grade.share.value * 100);
  if (share.outcome == Outcome::conditional_pass)
    text += fmt::format(" With {} matings the share can be disproved or not contradicted, not shown.",
                        all.matings);
  return text + fmt::format(
                    " Of all such matings at least {:.1f} % are within (95 % confidence); to show {:.0f} % "
                    "takes {} matings, all within.",
                    share.proven_share * 100, grade.share.value * 100,
                    matings_needed(grade.share.value, confidence));
}

std::string words_on_mean(const MeanJudgement& mean, const AttenuationGrade& grade) {
  if (!mean.standard_error) return "One mating has no spread: its mean stands for nothing else.";
  return fmt::format("The mean is {:.3f} dB with a standard error of {:.3f} dB; wanted is at most {:.2f} dB.",
                     mean.mean.value, mean.standard_error->value, grade.mean.value.value);
}

std::string words_on_return_loss(const ReturnLossJudgement& judged, const ReturnLossGrade& grade,
                                 std::size_t matings) {
  if (judged.measured == 0)
    return fmt::format("Return loss was not measured; grade {} wants it.", grade.name);
  return fmt::format("Return loss was measured at {} of {} matings, least {:.1f} dB; {} below {:.0f} dB.",
                     judged.measured, matings, judged.least->value, judged.below.size(),
                     grade.least.value.value);
}

void explain(CordsJudgement& all, const AttenuationGrade& grade, const ReturnLossGrade* return_loss) {
  all.reasons.push_back(words_on_mean(all.mean, grade));
  all.reasons.push_back(words_on_share(all, grade));
  if (all.return_loss)
    all.reasons.push_back(words_on_return_loss(*all.return_loss, *return_loss, all.matings));
  if (all.plugs > 0 && all.plugs < all.matings)
    all.reasons.push_back(
        fmt::format("The {} matings are of {} cord ends: those of one end are not independent, so the "
                    "confidence is less than it says.",
                    all.matings, all.plugs));
}

}  // namespace

const AttenuationGrade* attenuation_grade(const ConnectorGrades& grades, const std::string& name) {
  for (const AttenuationGrade& grade : grades.attenuation)
    if (grade.name == name) return &grade;
  return nullptr;
}

const ReturnLossGrade* return_loss_grade(const ConnectorGrades& grades, const std::string& name,
                                         FibreMode mode) {
  for (const ReturnLossGrade& grade : grades.return_loss)
    if (grade.name == name && grade.mode == mode) return &grade;
  return nullptr;
}

CordsJudgement judge_cords(std::span<const Mating> matings, const AttenuationGrade& grade,
                           const ReturnLossGrade* return_loss, Decibels gain_allowance) {
  CordsJudgement all;
  all.matings = matings.size();
  if (matings.empty()) {
    all.reasons.emplace_back("No mating was measured.");
    return all;
  }
  all.plugs = plugs_of(matings);
  for (std::size_t i = 0; i < matings.size(); ++i)
    if (!at_most(matings[i].loss, grade.most.value)) all.exceeding.push_back(i);
  all.mean = judge_mean(matings, grade.mean.value);
  all.share = judge_share(matings, grade);
  all.outcome = worse(all.mean.outcome, all.share.outcome);
  if (return_loss != nullptr) {
    all.return_loss = judge_return_loss(matings, return_loss->least.value);
    all.outcome = worse(all.outcome, all.return_loss->outcome);
  }
  explain(all, grade, return_loss);
  if (std::any_of(matings.begin(), matings.end(),
                  [&](const Mating& each) { return !at_most(-gain_allowance, each.loss); })) {
    all.outcome = Outcome::invalid;
    all.reasons.emplace_back("A loss below zero: reference and reading do not belong together.");
  }
  return all;
}

double proven_share(std::size_t within, std::size_t count, double at_confidence) {
  if (within == 0) return 0;
  const auto n = static_cast<double>(count);
  // P(X ≥ within) for X ~ binomial(count, p): it rises with p, so halving finds the p.
  const auto tail = [&](double p) {
    double sum = 0;
    for (std::size_t k = within; k <= count; ++k) {
      const auto good = static_cast<double>(k);
      const double ways = std::lgamma(n + 1) - std::lgamma(good + 1) - std::lgamma(n - good + 1);
      const double bad = k == count ? 0 : (n - good) * std::log1p(-p);
      sum += std::exp(ways + good * std::log(p) + bad);
    }
    return sum;
  };
  double low = 0;
  double high = 1;
  for (int step = 0; step < 40; ++step) {
    const double middle = (low + high) / 2;
    (tail(middle) < 1 - at_confidence ? low : high) = middle;
  }
  return low;
}

std::size_t matings_needed(double share, double at_confidence) {
  return static_cast<std::size_t>(std::ceil(std::log(1 - at_confidence) / std::log(share)));
}

}  // namespace strandbook
