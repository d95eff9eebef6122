#include "domain/statistics/mixed_model.hpp"

#include <algorithm>
#include <cmath>

#include "domain/statistics/least_squares.hpp"
#include "domain/statistics/tails.hpp"

namespace strandbook {
namespace {

using Three = std::array<double, 3>;

struct GroupSums {
  double weight = 0;
  double y = 0;
  Three x{};
};

double dot(const Three& a, const Three& b) { return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]; }

/// The normal equations of β after the group effects were absorbed, and their solution.
struct Absorbed {
  Three beta{};
  std::array<Three, 3> covariance{};
};

std::optional<Absorbed> absorb(std::span<const GroupRow> rows, const std::vector<double>& weights,
                               const std::vector<GroupSums>& sums, const std::array<PriorValue, 3>& priors,
                               double spread) {
  std::array<Three, 3> upper{};  // the upper half of a symmetric matrix
  Three b{};
  const auto add = [&](const Three& x, double y, double weight) {
    for (std::size_t i = 0; i < 3; ++i) {
      const double weighed = weight * x[i];
      b[i] += weighed * y;
      for (std::size_t j = i; j < 3; ++j) upper[i][j] += weighed * x[j];
    }
  };
  for (std::size_t i = 0; i < 3; ++i) {
    Three unit{};
    unit[i] = 1;
    add(unit, priors[i].mean, 1 / (priors[i].deviation * priors[i].deviation));
  }
  for (std::size_t r = 0; r < rows.size(); ++r) add(rows[r].x, rows[r].y, weights[r]);
  for (const GroupSums& sum : sums) add(sum.x, sum.y, -1 / (sum.weight + 1 / (spread * spread)));
  Matrix a(3, 3);
  for (std::size_t i = 0; i < 3; ++i)
    for (std::size_t j = 0; j < 3; ++j) a.at(i, j) = upper[std::min(i, j)][std::max(i, j)];
  Absorbed result;
  for (std::size_t i = 0; i < 3; ++i) {
    Three unit{};
    unit[i] = 1;
    const auto column = solve(a, unit);
    if (!column) return std::nullopt;
    for (std::size_t j = 0; j < 3; ++j) result.covariance[j][i] = (*column)[j];
  }
  for (std::size_t i = 0; i < 3; ++i) result.beta[i] = dot(result.covariance[i], b);
  return result;
}

std::vector<GroupSums> sums_of(std::span<const GroupRow> rows, const std::vector<double>& weights,
                               std::size_t groups) {
  std::vector<GroupSums> sums(groups);
  for (std::size_t r = 0; r < rows.size(); ++r) {
    GroupSums& sum = sums[rows[r].group];
    sum.weight += weights[r];
    sum.y += weights[r] * rows[r].y;
    for (std::size_t i = 0; i < 3; ++i) sum.x[i] += weights[r] * rows[r].x[i];
  }
  return sums;
}

/// What a group has beside what its parts explain, held towards zero by the spread of groups.
double effect_of(const GroupSums& sum, const Three& beta, double spread) {
  return (sum.y - dot(sum.x, beta)) / (sum.weight + 1 / (spread * spread));
}

GroupFit finish(const Absorbed& solved, const std::vector<GroupSums>& sums, double spread) {
  GroupFit fit;
  fit.effects.reserve(sums.size());
  fit.beta = solved.beta;
  fit.covariance = solved.covariance;
  for (std::size_t i = 0; i < 3; ++i) fit.beta_deviation[i] = std::sqrt(solved.covariance[i][i]);
  for (const GroupSums& sum : sums) {
    const double all = sum.weight + 1 / (spread * spread);
    Three pull{};
    for (std::size_t i = 0; i < 3; ++i) pull[i] = sum.x[i] / all;
    Three carried{};
    for (std::size_t i = 0; i < 3; ++i) carried[i] = dot(solved.covariance[i], pull);
    fit.effects.push_back({effect_of(sum, solved.beta, spread), std::sqrt(1 / all + dot(pull, carried))});
  }
  return fit;
}

}  // namespace

OneWay one_way(const std::vector<std::vector<double>>& groups) {
  // Values are taken from the first one: data with many constant leading digits lose none of the others.
  const double origin = groups.empty() || groups.front().empty() ? 0 : groups.front().front();
  long double total = 0;
  long double count = 0;
  long double sizes_squared = 0;
  for (const auto& group : groups) {
    for (const double value : group) total += value - origin;
    count += static_cast<long double>(group.size());
    sizes_squared += static_cast<long double>(group.size()) * static_cast<long double>(group.size());
  }
  const long double mean = total / count;
  long double between = 0;
  long double within = 0;
  for (const auto& group : groups) {
    long double own = 0;
    for (const double value : group) own += value - origin;
    own /= static_cast<long double>(group.size());
    between += static_cast<long double>(group.size()) * (own - mean) * (own - mean);
    for (const double value : group) within += (value - origin - own) * (value - origin - own);
  }
  const auto k = static_cast<long double>(groups.size());
  OneWay result;
  result.mean = static_cast<double>(mean) + origin;
  result.between = static_cast<double>(between / (k - 1));
  result.within = static_cast<double>(within / (count - k));
  result.f = static_cast<double>((between / (k - 1)) / (within / (count - k)));
  result.probability = f_upper_tail(result.f, static_cast<double>(k - 1), static_cast<double>(count - k));
  const auto size = static_cast<double>((count - sizes_squared / count) / (k - 1));
  result.group_variance = std::max(0.0, (result.between - result.within) / size);
  return result;
}

std::optional<GroupFit> fit_groups(std::span<const GroupRow> rows, std::size_t groups,
                                   const std::array<PriorValue, 3>& priors, double spread, double tuning) {
  std::vector<double> weights(rows.size());
  std::vector<double> usual(rows.size());  // residuals up to here count in full
  for (std::size_t r = 0; r < rows.size(); ++r) {
    weights[r] = 1 / rows[r].variance;
    usual[r] = tuning * std::sqrt(rows[r].variance);
  }
  std::vector<GroupSums> sums = sums_of(rows, weights, groups);
  std::optional<Absorbed> solved = absorb(rows, weights, sums, priors, spread);
  if (!solved) return std::nullopt;
  std::vector<double> effects(groups);
  constexpr int rounds =
      6;  // weights settle fast; what is left moves an effect by less than a hundredth of u
  for (int round = 0; tuning > 0 && round < rounds; ++round) {
    for (std::size_t g = 0; g < groups; ++g) effects[g] = effect_of(sums[g], solved->beta, spread);
    for (std::size_t r = 0; r < rows.size(); ++r) {
      const double residual = std::abs(rows[r].y - dot(rows[r].x, solved->beta) - effects[rows[r].group]);
      weights[r] = 1 / (rows[r].variance * std::max(1.0, residual / usual[r]));
    }
    std::vector<GroupSums> fresh = sums_of(rows, weights, groups);
    const std::optional<Absorbed> again = absorb(rows, weights, fresh, priors, spread);
    if (!again) break;
    sums = std::move(fresh);
    solved = again;
  }
  return finish(*solved, sums, spread);
}

}  // namespace strandbook
