#include "domain/traces/pulse_grid.hpp"

#include <algorithm>
#include <cmath>

namespace strandbook {
namespace {

constexpr double least_to_a_pulse = 8;
constexpr std::size_t least_samples = 2000;  ///< of a short trace that stay

std::vector<double> joined(const std::vector<double>& power, std::size_t factor, double full) {
  std::vector<double> out;
  out.reserve(power.size() / factor);
  for (std::size_t at = 0; at + factor <= power.size(); at += factor) {
    double sum = 0;
    double most = power[at];
    for (std::size_t k = at; k < at + factor; ++k) {
      sum += power[k];
      most = std::max(most, power[k]);
    }
    out.push_back(most >= full ? most : sum / static_cast<double>(factor));
  }
  return out;
}

/// Noise of one pole with this time constant: what is left of its rms in the mean over n samples.
double kept_noise(double receiver, std::size_t n) {
  const double share = std::exp(-1 / receiver);
  double variance = 1;
  double together = 1;
  for (std::size_t lag = 1; lag < n; ++lag) {
    together *= share;
    variance += 2 * (1 - static_cast<double>(lag) / static_cast<double>(n)) * together;
  }
  return std::sqrt(variance / static_cast<double>(n));
}

}  // namespace

PulseGrid join_samples(const Trace& trace, LinearTrace& light) {
  PulseGrid grid;
  const auto by_pulse = static_cast<std::size_t>(light.pulse.width / least_to_a_pulse);
  grid.factor = std::max<std::size_t>(1, std::min(by_pulse, light.power.size() / least_samples));
  const auto n = static_cast<double>(grid.factor);
  grid.frame.settings = trace.settings;
  grid.frame.step = {trace.step.value * n};
  // A mean stands in the middle of its samples.
  grid.frame.first = {trace.first.value + trace.step.value * (n - 1) / 2};
  if (grid.factor == 1) return grid;
  light.joined = grid.factor;
  light.power = joined(light.recorded, grid.factor, light.saturation);
  light.shown = light.power;
  light.noise *= kept_noise(light.pulse.receiver, grid.factor);
  light.step_km *= n;
  light.pulse.width /= n;
  light.pulse.receiver /= n;
  return grid;
}

void restore_ranges(const PulseGrid& grid, TraceAnalysis& analysis) {
  const auto restore = [&](SampleRange& range) {
    range.first *= grid.factor;
    range.last *= grid.factor;
  };
  for (TraceEvent& event : analysis.events) {
    restore(event.before);
    restore(event.after);
  }
  for (TraceSection& section : analysis.sections) restore(section.samples);
}

}  // namespace strandbook
