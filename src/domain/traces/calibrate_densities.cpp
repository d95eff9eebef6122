// Noise and fading as the residuals of fitted sections show them.

#include <algorithm>
#include <cmath>

#include "domain/traces/analysis_ground.hpp"

namespace strandbook {
namespace {

/// Residuals of a section in blocks that hardly know of each other.
struct Residual {
  double power;
  double square;  ///< dB²
};

std::vector<Residual> residuals_of(const TraceGround& ground, std::size_t block, double& freedom) {
  std::vector<Residual> out;
  for (const FittedSection& section : ground.sections) {
    const std::size_t length = section.samples.last - section.samples.first;
    if (section.samples.last <= section.samples.first || length < 5 * block) continue;
    if (!(section.line.information > 0)) continue;
    std::size_t count = 0;
    for (std::size_t at = section.samples.first; at + block <= section.samples.last; at += block) {
      double sum = 0;
      bool usable = true;
      for (std::size_t k = at; k < at + block; ++k) {
        sum += ground.level[k] - section.line.at(static_cast<double>(k) * ground.light.step_km);
        usable = usable && ground.weight[k] > 0;
      }
      const double middle = (static_cast<double>(at) + static_cast<double>(block) / 2) * ground.light.step_km;
      const double mean = sum / static_cast<double>(block);
      const double power = std::exp(section.line.at(middle) / decibels_per_share);
      // Where a tail lay over the light the fit of the tail shows, not the noise.
      if (!usable || ground.light.tail_level_density(power, at) > 0.3 * ground.light.level_density(power))
        continue;
      out.push_back({power, mean * mean});
      ++count;
    }
    if (count == 0) continue;
    const double held = section.line.slope_variance / (ground.prior.deviation * ground.prior.deviation);
    freedom += static_cast<double>(count) - 1 - (1 - held);
  }
  return out;
}

}  // namespace

void calibrate_densities(TraceGround& ground) {
  LinearTrace& light = ground.light;
  const auto block = static_cast<std::size_t>(std::max(4.0, std::round(2 * light.pulse.width)));
  double freedom = 0;
  std::vector<Residual> residuals = residuals_of(ground, block, freedom);
  if (residuals.size() < 24) return;
  const double kept = freedom / static_cast<double>(residuals.size());
  constexpr double scale = decibels_per_share * decibels_per_share;
  // A mean over two pulses varies less than its density says, by what its ends share with their neighbours:
  // worked out for a matched receiver (time constant 0.39 pulses).
  constexpr double noise_share = 0.806;
  constexpr double fading_share = 0.738;
  const double size = static_cast<double>(block);
  double noise = light.noise_density;
  double fading = std::max(light.fading_density, 1e-12);
  // Multiplicative updates towards the likeliest pair; blocks far off are events too small to be one.
  for (int round = 0; round < 40; ++round) {
    double noise_up = 0, noise_down = 0, fading_up = 0, fading_down = 0;
    for (const Residual& r : residuals) {
      const double of_noise = noise_share * scale / (r.power * r.power) / size * kept;
      const double of_fading = fading_share * scale / size * kept;
      const double variance = of_noise * noise + of_fading * fading;
      const double ratio = std::min(r.square / variance, 12.0);
      noise_up += of_noise * ratio / variance;
      noise_down += of_noise / variance;
      fading_up += of_fading * ratio / variance;
      fading_down += of_fading / variance;
    }
    if (noise > 0) noise *= std::sqrt(noise_up / noise_down);
    fading *= std::sqrt(fading_up / fading_down);
  }
  constexpr double farthest = 3;
  // Noise that does not know of its neighbours, as behind a filter of the instrument's, has far less of it.
  constexpr double least = 8;
  light.noise_density = std::clamp(noise, light.noise_density / least, light.noise_density * farthest);
  light.fading_density = std::clamp(fading, light.fading_density / farthest, light.fading_density * farthest);
}

}  // namespace strandbook
