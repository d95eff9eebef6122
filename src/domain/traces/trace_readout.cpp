#include "domain/traces/trace_readout.hpp"

#include <algorithm>
#include <cmath>

namespace strandbook {
namespace {

struct LineOfLeastSquares {
  double slope = 0;  ///< dB/m
  double slope_deviation = 0;
  double residual = 0;
  std::size_t samples = 0;
};

/// Over the samples that are neither clipped nor without light.
LineOfLeastSquares line_through(const Trace& trace, std::size_t first, std::size_t last) {
  double n = 0;
  double sum_x = 0;
  double sum_y = 0;
  const auto holds = [&](std::size_t k) {
    return trace.level_db[k] > trace.floor_db && trace.level_db[k] < trace.ceiling_db;
  };
  for (std::size_t k = first; k <= last; ++k) {
    if (!holds(k)) continue;
    n += 1;
    sum_x += static_cast<double>(k);
    sum_y += trace.level_db[k];
  }
  LineOfLeastSquares line;
  line.samples = static_cast<std::size_t>(n);
  if (line.samples < 3) return line;
  double xx = 0;
  double xy = 0;
  double yy = 0;
  for (std::size_t k = first; k <= last; ++k) {
    if (!holds(k)) continue;
    const double x = (static_cast<double>(k) - sum_x / n) * trace.step.value;
    const double y = trace.level_db[k] - sum_y / n;
    xx += x * x;
    xy += x * y;
    yy += y * y;
  }
  line.slope = xy / xx;
  line.residual = std::sqrt(std::max(0.0, yy - line.slope * xy) / (n - 2));
  line.slope_deviation = line.residual / std::sqrt(xx);
  return line;
}

}  // namespace

TraceReadout readout(const Trace& trace, Metres one, Metres other) {
  const auto sample_at = [&](Metres at) {
    const double k = std::round((at.value - trace.first.value) / trace.step.value);
    return static_cast<std::size_t>(std::clamp(k, 0.0, static_cast<double>(trace.level_db.size() - 1)));
  };
  const std::size_t first = sample_at(std::min(one, other));
  const std::size_t last = sample_at(std::max(one, other));
  TraceReadout out;
  out.from = trace.position_of(static_cast<double>(first));
  out.to = trace.position_of(static_cast<double>(last));
  out.level_from = {trace.level_db[first]};
  out.level_to = {trace.level_db[last]};
  out.two_point = out.level_from - out.level_to;
  const LineOfLeastSquares line = line_through(trace, first, last);
  out.samples = line.samples;
  if (line.samples < 3) return out;
  out.attenuation = Measured{-1000 * line.slope, 1000 * line.slope_deviation};
  out.line_loss = Decibels{-line.slope * (out.to.value - out.from.value)};
  out.residual = Decibels{line.residual};
  return out;
}

}  // namespace strandbook
