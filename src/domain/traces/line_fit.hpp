#pragma once
// Weighted straight lines through any stretch of a trace, each in constant time, the slope held by what is
// known of the fibre.

#include <cstddef>
#include <vector>

#include "domain/traces/trace_analysis.hpp"

namespace strandbook {

/// A line u = level + slope·(x − centre), x in kilometres, with variances.
struct Line {
  double centre = 0;
  double level = 0;
  double slope = 0;
  double level_variance = 0;
  double slope_variance = 0;
  double misfit = 0;  ///< weighted sum of squares, the prior's part in it
  double information = 0;
  double at(double x) const { return level + slope * (x - centre); }
  double variance_at(double x) const { return level_variance + (x - centre) * (x - centre) * slope_variance; }
};

/// How many standard deviations lie between two lines at x, their slopes' difference taken with it.
double break_strength(const Line& before, const Line& after, double x);

/// Knowledge of a slope: normal about `mean` with this standard deviation, dB/km.
struct SlopePrior {
  double mean = 0;
  double deviation = 1;
  double common = 0;  ///< of the mean itself, the same for all sections: where a tail may have bent it
};

class LineSums {
 public:
  LineSums() = default;
  /// Values and their weights (inverse variances); x = index · step_km. A weight of 0 leaves a sample out.
  LineSums(const std::vector<double>& values, const std::vector<double>& weights, double step_km) {
    take(values, weights, step_km);
  }
  void take(const std::vector<double>& values, const std::vector<double>& weights, double step_km);

  Line fit(SampleRange range, SlopePrior prior) const;
  double information(SampleRange range) const { return at(range.last).w - at(range.first).w; }

 private:
  struct Sums {
    double w = 0, wx = 0, wxx = 0, wu = 0, wxu = 0, wuu = 0;
  };
  const Sums& at(std::size_t i) const { return sums_[i]; }
  std::vector<Sums> sums_;
};

}  // namespace strandbook
