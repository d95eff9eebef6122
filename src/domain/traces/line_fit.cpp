#include "domain/traces/line_fit.hpp"

#include <algorithm>
#include <cmath>

namespace strandbook {

// Squares of level and slope together, by the inverse of their covariance at x.
double break_strength(const Line& before, const Line& after, double x) {
  const double step = after.at(x) - before.at(x);
  const double bend = after.slope - before.slope;
  const double step_variance = before.variance_at(x) + after.variance_at(x);
  const double bend_variance = before.slope_variance + after.slope_variance;
  const double common =
      (x - before.centre) * before.slope_variance + (x - after.centre) * after.slope_variance;
  const double determinant = step_variance * bend_variance - common * common;
  if (!(determinant > 0)) return std::abs(step) / std::sqrt(step_variance);
  const double square = step * step * bend_variance - 2 * step * bend * common + bend * bend * step_variance;
  return std::sqrt(std::max(0.0, square / determinant));
}

void LineSums::take(const std::vector<double>& values, const std::vector<double>& weights, double step_km) {
  sums_.resize(values.size() + 1);
  sums_.front() = {};
  Sums s;
  for (std::size_t i = 0; i < values.size(); ++i) {
    const double w = weights[i];
    if (w > 0) {
      const double x = static_cast<double>(i) * step_km;
      const double u = values[i];
      s.w += w;
      s.wx += w * x;
      s.wxx += w * x * x;
      s.wu += w * u;
      s.wxu += w * x * u;
      s.wuu += w * u * u;
    }
    sums_[i + 1] = s;
  }
}

// The normal equations about the centroid, where level and slope are independent.
Line LineSums::fit(SampleRange range, SlopePrior prior) const {
  Line line;
  line.slope = prior.mean;
  line.slope_variance = prior.deviation * prior.deviation;
  if (range.last <= range.first) {
    line.level_variance = 1e12;
    return line;
  }
  const Sums& a = at(range.first);
  const Sums& b = at(range.last);
  const double w = b.w - a.w;
  line.information = w;
  if (!(w > 0)) {
    line.level_variance = 1e12;
    return line;
  }
  const double wx = b.wx - a.wx;
  const double wu = b.wu - a.wu;
  line.centre = wx / w;
  line.level = wu / w;
  const double spread = std::max(0.0, b.wxx - a.wxx - wx * line.centre);
  const double cross = b.wxu - a.wxu - line.centre * wu;
  const double known = 1 / (prior.deviation * prior.deviation);
  line.slope = (cross + known * prior.mean) / (spread + known);
  line.level_variance = 1 / w;
  line.slope_variance = 1 / (spread + known);
  const double total = std::max(0.0, b.wuu - a.wuu - wu * line.level);
  line.misfit =
      std::max(0.0, total + known * prior.mean * prior.mean - line.slope * (cross + known * prior.mean));
  return line;
}

}  // namespace strandbook
