#pragma once
// Grades of connectors, and a set of measured matings held against one: a grade bounds a population of random
// matings by its mean and by the value that nearly all keep, never a single joint.

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "domain/applications/application.hpp"
#include "domain/link/link.hpp"
#include "domain/verdict/outcome.hpp"

namespace strandbook {

/// Attenuation grade, random mated.
struct AttenuationGrade {
  std::string name;  ///< "B", "Bm"
  FibreMode mode = FibreMode::single_mode;
  Sourced<Decibels> mean;  ///< the mean must not exceed it
  Sourced<Decibels> most;  ///< that `share` of the matings must not exceed
  Sourced<double> share;   ///< 0.97
};

/// Return loss grade.
struct ReturnLossGrade {
  std::string name;  ///< "1"
  FibreMode mode = FibreMode::single_mode;
  Sourced<Decibels> least;  ///< every mating has at least this
};

struct ConnectorGrades {
  std::vector<AttenuationGrade> attenuation;
  std::vector<ReturnLossGrade> return_loss;
};

const AttenuationGrade* attenuation_grade(const ConnectorGrades& grades, const std::string& name);
/// Grade "1" is another for multimode than for single-mode.
const ReturnLossGrade* return_loss_grade(const ConnectorGrades& grades, const std::string& name,
                                         FibreMode mode);

/// One mating of a cord's end with another plug, as it was measured.
struct Mating {
  std::string cord;  ///< may be empty
  std::string end;   ///< may be empty
  Decibels loss;
  std::optional<Decibels> return_loss;  ///< positive
};

/// The mean of the matings against the grade's. Uncertain by the standard error s/√n, so it is decided with a
/// guard band of twice that; one mating alone has none and stays conditional.
struct MeanJudgement {
  Outcome outcome = Outcome::not_tested;
  Decibels mean;
  std::optional<Decibels> standard_error;
};

/// The share within the grade's value. A sample fails where fewer than the grade's share are within. Where it
/// is so small that not one mating could have exceeded it and left the share, it can fail, but whole success
/// only does not contradict the grade: conditional pass.
struct ShareJudgement {
  Outcome outcome = Outcome::not_tested;
  std::size_t within = 0;
  std::size_t may_exceed = 0;  ///< matings of this number that might exceed it
  double share = 0;
  double proven_share = 0;  ///< of all such matings, with 95 % confidence (Clopper and Pearson, one-sided)
};

struct ReturnLossJudgement {
  Outcome outcome = Outcome::not_tested;
  std::size_t measured = 0;
  std::vector<std::size_t> below;  ///< indices of matings
  std::optional<Decibels> least;   ///< the worst
};

struct CordsJudgement {
  std::size_t matings = 0;
  std::size_t plugs = 0;  ///< different cord ends; 0 where a mating does not name its cord
  MeanJudgement mean;
  ShareJudgement share;
  std::optional<ReturnLossJudgement> return_loss;  ///< where a grade was stated
  std::vector<std::size_t> exceeding;              ///< matings beyond the grade's value
  Outcome outcome = Outcome::not_tested;           ///< the worst of them
  std::vector<std::string> reasons;
};

/// `return_loss` may be null. A loss below minus `gain_allowance` is impossible and makes the set invalid.
CordsJudgement judge_cords(std::span<const Mating> matings, const AttenuationGrade& grade,
                           const ReturnLossGrade* return_loss, Decibels gain_allowance);

/// Least share of a population that is shown with this confidence by `within` good ones out of `count`: the p
/// for which so many or more good ones have the probability 1 − confidence. Accurate to 1e-9.
double proven_share(std::size_t within, std::size_t count, double confidence);

/// Matings that must all be within the value to show the share with this confidence: ln(1−c)/ln(share).
std::size_t matings_needed(double share, double confidence);

}  // namespace strandbook
