#include "domain/traces/settling.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace strandbook {
namespace {

/// A peak of 1000 times the fibre's light at sample 200, ten samples long; the fibre goes on at `behind`.
LinearTrace peak_of(double fall, double behind) {
  LinearTrace light;
  light.pulse = {10, 4};
  light.noise = 1e-4;
  light.noise_density = 1e-8;
  for (std::size_t k = 0; k < 600; ++k) {
    const double past = static_cast<double>(k) - 210;
    double power = k < 200 ? 1 : behind;
    if (k >= 200 && past < 0) power += 1000;
    if (past >= 0) power += 1000 * std::exp(-past / fall);
    light.power.push_back(power);
  }
  light.shown = light.recorded = light.power;
  return light;
}

TEST(Settling, FallIsLearntFromTheStrongestPeakAndTakenOff) {
  // The receiver was taken for a tenth slower than it is.
  LinearTrace light = peak_of(3.6, 0.9);
  std::vector<Candidate> peaks{{200, 270, true, false, 1000}};
  settle_peaks(light, peaks);
  EXPECT_NEAR(light.fall, 3.6, 0.02);
  ASSERT_LT(peaks[0].until, 265u);
  for (std::size_t k = peaks[0].until; k < 270; ++k) EXPECT_NEAR(light.of_fibre(k), 0.9, 0.02) << k;
}

TEST(Settling, WhatIsUnsureOfItIsStated) {
  LinearTrace light = peak_of(3.6, 0.9);
  std::vector<Candidate> peaks{{200, 270, true, false, 1000}};
  settle_peaks(light, peaks);
  const std::size_t k = peaks[0].until;
  EXPECT_GT(light.tail_density[k], 0);
  EXPECT_LE(std::sqrt(light.tail_density[k] / light.fall), 0.02 * 0.91);
  EXPECT_GT(light.tail_density[k - 4], light.tail_density[k]);
  EXPECT_EQ(light.tail_density[100], 0);
}

TEST(Settling, ATailThatWasTakenOffKeepsTheDeadZone) {
  LinearTrace light = peak_of(3.6, 0.9);
  light.tail.assign(light.power.size(), 0.2);
  std::vector<Candidate> peaks{{200, 270, true, false, 1000}};
  settle_peaks(light, peaks);
  EXPECT_EQ(peaks[0].until, 270u);
}

TEST(Settling, NoPeaksChangeNothing) {
  LinearTrace light = peak_of(3.6, 0.9);
  std::vector<Candidate> none;
  settle_peaks(light, none);
  EXPECT_EQ(light.of_fibre(300), light.power[300]);
}

}  // namespace
}  // namespace strandbook
