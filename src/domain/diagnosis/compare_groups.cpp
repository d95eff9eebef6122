#include "domain/diagnosis/compare_groups.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "domain/statistics/robust.hpp"
#include "domain/statistics/tails.hpp"

namespace strandbook {
namespace {

using Three = std::array<double, 3>;

struct Sums {
  double weight = 0;
  double y = 0;
  Three x{};
  void add(const Sums& other, double sign) {
    weight += sign * other.weight;
    y += sign * other.y;
    for (std::size_t i = 0; i < 3; ++i) x[i] += sign * other.x[i];
  }
};

double quadratic(const Three& x, const std::array<Three, 3>& covariance) {
  double sum = 0;
  for (std::size_t i = 0; i < 3; ++i)
    for (std::size_t j = 0; j < 3; ++j) sum += x[i] * covariance[i][j] * x[j];
  return std::max(0.0, sum);
}

class Comparison {
 public:
  Comparison(std::span<const GroupRow> rows, std::size_t groups, const ComparisonModel& model,
             const GroupFit& fit)
      : model_(model), fit_(fit), sums_(groups) {
    const double wider = inflation(rows);
    for (const GroupRow& row : rows) {
      // A row that fits its group badly is held down as in the fit.
      const double residual = std::abs(after_parts(row) - fit.effects[row.group].value);
      constexpr double tuning = 2;
      const double weight =
          1 / (row.variance * wider) / std::max(1.0, residual / (tuning * std::sqrt(row.variance * wider)));
      Sums one{weight, weight * row.y, {}};
      for (std::size_t i = 0; i < 3; ++i) one.x[i] = weight * row.x[i];
      sums_[row.group].add(one, 1);
    }
  }

  OddGroup most_striking(const std::vector<bool>& gone) const {
    Sums all;
    std::size_t there = 0;
    for (std::size_t g = 0; g < sums_.size(); ++g) {
      if (gone[g] || sums_[g].weight <= 0) continue;
      all.add(as_other(g), 1);
      ++there;
    }
    OddGroup best;
    double farthest = 0;
    for (std::size_t g = 0; g < sums_.size(); ++g) {
      if (gone[g] || sums_[g].weight <= 0) continue;
      const OddGroup one = against_others(g, all, there - 1);
      const double deviates = std::abs(one.difference) / one.deviation;
      if (std::abs(one.difference) < model_.least || deviates <= farthest) continue;
      best = one;
      farthest = deviates;
    }
    // The usual spreads are known about as well as a hundred readings would tell them.
    constexpr double degrees = 100;
    best.probability = std::min(1.0, 2 * student_upper_tail(farthest, degrees));
    return best;
  }

 private:
  double after_parts(const GroupRow& row) const {
    double rest = row.y;
    for (std::size_t i = 0; i < 3; ++i) rest -= row.x[i] * fit_.beta[i];
    return rest;
  }

  /// More scatter inside groups than was expected widens everything; less does not narrow it.
  double inflation(std::span<const GroupRow> rows) const {
    constexpr std::size_t enough = 8;
    if (rows.size() < sums_.size() + enough) return 1;
    std::vector<double> z;
    for (const GroupRow& row : rows)
      z.push_back((after_parts(row) - fit_.effects[row.group].value) / std::sqrt(row.variance));
    const Centre centre = median_and_mad(z);
    const double lost = static_cast<double>(rows.size()) / static_cast<double>(rows.size() - sums_.size());
    return std::max(1.0, centre.scale * centre.scale * lost);
  }

  /// What a group weighs beside others: no more than its own error lets it.
  Sums as_other(std::size_t g) const {
    const double error = model_.usual_error * model_.usual_error;
    const double share = 1 / (1 + sums_[g].weight * error);
    Sums one = sums_[g];
    one.weight *= share;
    one.y *= share;
    for (double& x : one.x) x *= share;
    return one;
  }

  OddGroup against_others(std::size_t g, Sums others, std::size_t count) const {
    others.add(as_other(g), -1);
    OddGroup odd;
    odd.group = g;
    odd.alone = count == 0;
    odd.one_of_two = count == 1;
    const Sums& own = sums_[g];
    Three apart{};
    for (std::size_t i = 0; i < 3; ++i)
      apart[i] = own.x[i] / own.weight - (count > 0 ? others.x[i] / others.weight : 0);
    odd.difference = own.y / own.weight - (count > 0 ? others.y / others.weight : 0);
    double variance = 1 / own.weight + model_.usual_error * model_.usual_error;
    // A group alone took part in the fit: only what was expected before may judge it.
    for (std::size_t i = 0; i < 3; ++i) {
      const PriorValue& prior = model_.priors[i];
      odd.difference -= apart[i] * (count > 0 ? fit_.beta[i] : prior.mean);
      if (count == 0) variance += apart[i] * apart[i] * prior.deviation * prior.deviation;
    }
    if (count > 0) variance += 1 / others.weight + quadratic(apart, fit_.covariance);
    odd.deviation = std::sqrt(variance);
    return odd;
  }

  const ComparisonModel& model_;
  const GroupFit& fit_;
  std::vector<Sums> sums_;
};

}  // namespace

GroupComparison compare_groups(std::span<const GroupRow> rows, std::size_t groups,
                               const ComparisonModel& model) {
  GroupComparison result;
  constexpr double tuning = 2;
  const auto fit = fit_groups(rows, groups, model.priors, model.spread, tuning);
  if (!fit) return result;
  result.effects = fit->effects;
  result.compared = groups;
  const Comparison comparison(rows, groups, model, *fit);
  std::vector<bool> gone(groups, false);
  for (std::size_t round = 0; round < (groups + 1) / 2; ++round) {
    const OddGroup odd = comparison.most_striking(gone);
    if (odd.probability > model.worth) break;
    result.odd.push_back(odd);
    gone[odd.group] = true;
  }
  return result;
}

const GroupComparison& ComparisonMemory::compare(const Window& window, std::vector<GroupRow> rows,
                                                 std::size_t groups, const ComparisonModel& model) {
  const auto [at, fresh] = windows_.try_emplace(window);
  Remembered& last = at->second;
  if (!fresh && last.model == model && last.rows == rows) return last.result;
  last = {std::move(rows), model, {}};
  last.result = compare_groups(last.rows, groups, model);
  return last.result;
}

}  // namespace strandbook
