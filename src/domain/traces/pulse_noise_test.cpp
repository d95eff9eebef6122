// How neighbouring samples vary together, held against what the theory says of simple cases and against drawn
// noise.

#include "domain/traces/pulse_noise.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

namespace strandbook {
namespace {

constexpr std::size_t some = 60;

LinearTrace noisy_light(double noise, double noise_density, double fading_density) {
  LinearTrace light;
  light.pulse = {8, 3};
  light.noise = noise;
  light.noise_density = noise_density;
  light.fading_density = fading_density;
  return light;
}

// SOURCE: the one-step prediction of a first-order autoregression leaves x[k] − ρ·x[k−1], of variance
// σ²·(1 − ρ²) (time-series textbooks; common practice).
TEST(PulseNoise, NoiseOfAReceiverIsAFirstOrderAutoregression) {
  constexpr double share = 0.6, sigma = 0.02;
  const LinearTrace light = noisy_light(sigma, sigma * sigma * (1 + share) / (1 - share), 0);
  std::vector<double> samples(some);
  for (std::size_t k = 0; k < some; ++k) samples[k] = std::sin(static_cast<double>(k * k));
  std::vector<double> white = samples;
  PulseNoise(light, 1, 0, some).whiten(white);
  EXPECT_NEAR(white[0], samples[0] / sigma, 1e-9);
  for (std::size_t k = 1; k < some; ++k)
    EXPECT_NEAR(white[k], (samples[k] - share * samples[k - 1]) / (sigma * std::sqrt(1 - share * share)),
                1e-6);
}

TEST(PulseNoise, WhatNoNeighbourSharesIsWhite) {
  std::vector<double> white{0.3, -0.1, 0.2};
  PulseNoise(noisy_light(0, 0, 0), 1, 0.1, 3).whiten(white);
  EXPECT_NEAR(white[0], 3, 1e-9);
  EXPECT_NEAR(white[1], -1, 1e-9);
  EXPECT_NEAR(white[2], 2, 1e-9);
}

// Scattering that is uneven from sample to sample, shown by a pulse: drawn with the standard library.
TEST(PulseNoise, FadingIsWhitenedAsThePulseShapedIt) {
  constexpr double fading_density = 1e-3, light_power = 0.7, unshaped = 1e-4;
  const LinearTrace light = noisy_light(0, 0, fading_density);
  const PulseNoise noise(light, light_power, unshaped, some);
  std::mt19937 random(3);
  std::normal_distribution<double> normal;
  double squares = 0, neighbours = 0;
  constexpr int draws = 200;
  for (int draw = 0; draw < draws; ++draw) {
    std::vector<double> glass(some + 60);
    for (double& g : glass) g = std::sqrt(fading_density) * light_power * normal(random);
    std::vector<double> shown(some);
    for (std::size_t k = 0; k < some; ++k) {
      shown[k] = unshaped * normal(random);
      for (std::size_t back = 0; back < 50; ++back) {
        const auto x = static_cast<double>(back);
        shown[k] += glass[k + 50 - back] * (light.pulse.step(x + 1) - light.pulse.step(x));
      }
    }
    noise.whiten(shown);
    for (std::size_t k = 0; k < some; ++k) {
      squares += shown[k] * shown[k];
      if (k > 0) neighbours += shown[k] * shown[k - 1];
    }
  }
  constexpr double all = static_cast<double>(draws * some);
  EXPECT_NEAR(squares / all, 1, 0.05);
  EXPECT_NEAR(neighbours / all, 0, 0.03);
}

}  // namespace
}  // namespace strandbook
