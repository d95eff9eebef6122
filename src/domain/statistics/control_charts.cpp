#include "domain/statistics/control_charts.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "domain/statistics/gauss_legendre.hpp"
#include "domain/statistics/least_squares.hpp"
#include "domain/statistics/tails.hpp"

namespace strandbook {
namespace {

double density(double x) { return std::exp(-x * x / 2) / std::sqrt(2 * std::numbers::pi); }

/// Enough that the published tables are met to all their digits for every usual limit.
std::size_t nodes_for(double width) { return static_cast<std::size_t>(std::clamp(width * 8, 40.0, 120.0)); }

/// ARL of the upper side from two starting values: from `design.head_start` and from zero.
struct FromStart {
  double head = 0;
  double zero = 0;
};

FromStart upper_side(const CusumDesign& design, double shift) {
  const Quadrature rule = gauss_legendre(nodes_for(design.limit), 0, design.limit);
  const std::size_t n = rule.nodes.size();
  const double k = design.allowance;
  // ARL(x) = 1 + ARL(0) Φ(k − x − δ) + ∫ ARL(v) φ(v + k − x − δ) dv; the last unknown is ARL(0).
  Matrix system(n + 1, n + 1);
  const auto fill = [&](std::size_t row, double x) {
    for (std::size_t j = 0; j < n; ++j)
      system.at(row, j) = -rule.weights[j] * density(rule.nodes[j] + k - x - shift);
    system.at(row, n) = -normal_upper_tail(-(k - x - shift));
    system.at(row, row) += 1;
  };
  for (std::size_t i = 0; i < n; ++i) fill(i, rule.nodes[i]);
  fill(n, 0);
  const std::vector<double> ones(n + 1, 1);
  const auto arl = solve(system, ones);
  if (!arl) return {HUGE_VAL, HUGE_VAL};  // longer than numbers can tell
  const double x = design.head_start;
  double head = 1 + (*arl)[n] * normal_upper_tail(-(k - x - shift));
  for (std::size_t j = 0; j < n; ++j)
    head += rule.weights[j] * (*arl)[j] * density(rule.nodes[j] + k - x - shift);
  return {head, (*arl)[n]};
}

}  // namespace

bool Cusum::add(double z) {
  up_ = std::max(0.0, up_ + z - design_.allowance);
  down_ = std::max(0.0, down_ - z - design_.allowance);
  run_up_ = up_ > 0 ? run_up_ + 1 : 0;
  run_down_ = down_ > 0 ? run_down_ + 1 : 0;
  return up_ > design_.limit || down_ > design_.limit;
}

double one_sided_cusum_arl(const CusumDesign& design, double shift) { return upper_side(design, shift).head; }

double cusum_arl(const CusumDesign& design, double shift) {
  FromStart fast = upper_side(design, shift);
  FromStart slow = upper_side(design, -shift);
  if (fast.zero > slow.zero) std::swap(fast, slow);
  if (std::isinf(slow.zero)) return fast.head;
  return (fast.head * slow.zero + slow.head * fast.zero - fast.zero * slow.zero) / (fast.zero + slow.zero);
}

double cusum_limit_for(double allowance, double arl) {
  double low = 0.1;
  double high = 40;
  for (int round = 0; round < 60 && high - low > 1e-6; ++round) {
    const double middle = (low + high) / 2;
    (cusum_arl({allowance, middle, 0}, 0) < arl ? low : high) = middle;
  }
  return high;
}

std::vector<double> ewma(std::span<const double> values, double weight, double start) {
  std::vector<double> smoothed;
  smoothed.reserve(values.size());
  double q = start;
  for (const double value : values) {
    q = weight * value + (1 - weight) * q;
    smoothed.push_back(q);
  }
  return smoothed;
}

double ewma_half_width(const EwmaDesign& design, std::size_t count) {
  const double rest = std::pow(1 - design.weight, 2.0 * static_cast<double>(count));
  return design.width * std::sqrt(design.weight / (2 - design.weight) * (1 - rest));
}

std::optional<std::size_t> ewma_alarm(std::span<const double> z, const EwmaDesign& design) {
  double q = 0;
  for (std::size_t i = 0; i < z.size(); ++i) {
    q = design.weight * z[i] + (1 - design.weight) * q;
    if (std::abs(q) > ewma_half_width(design, i + 1)) return i;
  }
  return std::nullopt;
}

double ewma_arl(const EwmaDesign& design, double shift) {
  const double weight = design.weight;
  const double limit = design.width * std::sqrt(weight / (2 - weight));
  const Quadrature rule = gauss_legendre(60, -limit, limit);
  const std::size_t n = rule.nodes.size();
  // ARL(x) = 1 + ∫ ARL(v) φ((v − (1 − λ)x)/λ − δ) dv / λ
  const auto kernel = [&](double v, double x) {
    return density((v - (1 - weight) * x) / weight - shift) / weight;
  };
  Matrix system(n, n);
  for (std::size_t i = 0; i < n; ++i) {
    for (std::size_t j = 0; j < n; ++j)
      system.at(i, j) = -rule.weights[j] * kernel(rule.nodes[j], rule.nodes[i]);
    system.at(i, i) += 1;
  }
  const std::vector<double> ones(n, 1);
  const auto arl = solve(system, ones);
  if (!arl) return 0;
  double start = 1;
  for (std::size_t j = 0; j < n; ++j) start += rule.weights[j] * (*arl)[j] * kernel(rule.nodes[j], 0);
  return start;
}

double shewhart_arl(double limit, double shift) {
  return 1 / (normal_upper_tail(limit - shift) + normal_upper_tail(limit + shift));
}

}  // namespace strandbook
