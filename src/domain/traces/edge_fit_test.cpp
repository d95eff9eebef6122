// Where a step begins, with other things about.

#include "domain/traces/edge_fit.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

namespace strandbook {
namespace {

constexpr double step_share = 0.02;
constexpr double step_at = 500;
const PulseShape step_pulse{8, 3};

/// Light of 1 that falls by a fiftieth at sample 500, pulses of eight samples, nothing else.
LinearTrace with_a_step() {
  LinearTrace light;
  light.pulse = step_pulse;
  light.step_km = 1e-3;
  light.noise_density = 1e-6;
  for (std::size_t k = 0; k < 1000; ++k)
    light.power.push_back(1 - step_share * step_pulse.step(static_cast<double>(k) - step_at));
  light.shown = light.recorded = light.power;
  return light;
}

Line level_line(double power) {
  Line line;
  line.level = decibels_per_share * std::log(power);
  line.information = 1;
  return line;
}

EdgeFit edge_of(const LinearTrace& light, double first_place) {
  Candidate step;
  step.start = first_place;
  return fit_step_edge(light, step, level_line(1), level_line(1 - step_share), {300, 700});
}

/// Root mean square error of the most likely place of a ramp of `width` samples and height 1 in white noise
/// of this variance, over all places at which it could stand.
double error_of_place(double variance, std::size_t width) {
  constexpr int draws = 600;
  std::mt19937 random(7);
  std::normal_distribution<double> noise(0, std::sqrt(variance));
  const std::size_t side = static_cast<std::size_t>(60 * variance) + 8 * width;
  const std::size_t count = 2 * side + width;
  double squares = 0;
  for (int draw = 0; draw < draws; ++draw) {
    // Sums of all samples from each on, and sums of these: the ramp's product with the samples in two steps.
    std::vector<double> behind(count + 1), twice(count + 2);
    for (std::size_t k = count; k-- > 0;) {
      const double x = static_cast<double>(k) - static_cast<double>(side);
      behind[k] = behind[k + 1] + std::clamp(x / static_cast<double>(width), 0.0, 1.0) + noise(random);
    }
    for (std::size_t k = count + 1; k-- > 0;) twice[k] = twice[k + 1] + behind[k];
    double least = 1e300;
    double error = 0;
    for (std::size_t k = 0; k + width < count; ++k) {
      const double product = (twice[k + 1] - twice[k + 1 + width]) / static_cast<double>(width);
      const double misfit = static_cast<double>(count - k) - 2 * product;
      if (misfit >= least) continue;
      least = misfit;
      error = static_cast<double>(k) - static_cast<double>(side);
    }
    squares += error * error;
  }
  return std::sqrt(squares / draws);
}

// Drawn with the standard library's generator and searched through exhaustively.
TEST(EdgeFit, PlaceIsAsUnsureAsTheLikeliestOneIs) {
  constexpr std::size_t width = 10;
  for (const double variance : {0.1, 2.5, 10.0})
    EXPECT_NEAR(step_place_deviation(variance, width, 1) / error_of_place(variance, width), 1, 0.15)
        << variance;
}

TEST(EdgeFit, StepIsFoundFivePulsesFromItsFirstPlace) {
  for (const double first_place : {460.0, 500.0, 540.0})
    EXPECT_NEAR(edge_of(with_a_step(), first_place).start, step_at, 0.5) << first_place;
}

TEST(EdgeFit, EchoBesideAStepDoesNotDrawIt) {
  LinearTrace light = with_a_step();
  light.echo.assign(light.power.size(), 0);
  for (std::size_t k = 470; k < 485; ++k) {
    light.power[k] -= 0.1;
    light.echo[k] = 1;
  }
  EXPECT_NEAR(edge_of(light, 505).start, step_at, 1.5);
}

TEST(EdgeFit, WhatStandsBeyondThePulseIsNoPeakOfTheStep) {
  LinearTrace light = with_a_step();
  for (std::size_t k = 484; k < 494; ++k) light.power[k] += 0.04;
  const EdgeFit edge = edge_of(light, step_at);
  EXPECT_FALSE(edge.peak);
  EXPECT_NEAR(edge.start, step_at, 3);
}

TEST(EdgeFit, PeakOnAStepIsSeen) {
  LinearTrace light = with_a_step();
  for (std::size_t k = 0; k < light.power.size(); ++k)
    light.power[k] += 0.03 * step_pulse.peak(static_cast<double>(k) - step_at);
  const EdgeFit edge = edge_of(light, step_at);
  EXPECT_TRUE(edge.peak);
  EXPECT_NEAR(edge.start, step_at, 0.3);
  EXPECT_NEAR(edge.height, 0.03, 0.003);
}

/// The same step where the glass scatters unevenly: the pulse shapes that as it shapes the step.
LinearTrace with_fading(double fading_density, std::mt19937& random) {
  LinearTrace light = with_a_step();
  light.noise_density = 1e-12;
  light.fading_density = fading_density;
  std::normal_distribution<double> normal(0, std::sqrt(fading_density));
  std::vector<double> glass(light.power.size() + 50);
  for (double& g : glass) g = normal(random);
  for (std::size_t k = 0; k < light.power.size(); ++k)
    for (std::size_t back = 0; back < 50; ++back) {
      const auto x = static_cast<double>(back);
      light.power[k] += glass[k + 50 - back] * (step_pulse.step(x + 1) - step_pulse.step(x));
    }
  light.shown = light.recorded = light.power;
  return light;
}

constexpr double fading = step_share * step_share * 8 / 80;  ///< √(density · width) is a ninth of the step

// What the stated deviation rests on takes the noise for white; knowing how it is coloured is worth a third.
TEST(EdgeFit, FadingThatThePulseShapesDoesNotHideTheEdge) {
  constexpr int draws = 400;
  std::mt19937 random(5);
  double squares = 0;
  double stated = 0;
  for (int draw = 0; draw < draws; ++draw) {
    const EdgeFit edge = edge_of(with_fading(fading, random), 505);
    squares += (edge.start - step_at) * (edge.start - step_at);
    stated += edge.deviation / draws;
  }
  EXPECT_LT(std::sqrt(squares / draws), 0.7 * stated);
}

TEST(EdgeFit, LowPeakOfAStepIsSeenInFading) {
  // Five times what the light varies by from pulse to pulse.
  std::mt19937 random(6);
  int seen = 0;
  for (int draw = 0; draw < 40; ++draw) {
    LinearTrace light = with_fading(fading, random);
    for (std::size_t k = 0; k < light.power.size(); ++k)
      light.power[k] += 0.01 * step_pulse.peak(static_cast<double>(k) - step_at);
    const EdgeFit edge = edge_of(light, step_at);
    seen += edge.peak && std::abs(edge.start - step_at) < 1 ? 1 : 0;
  }
  EXPECT_GE(seen, 38);
}

TEST(EdgeFit, StepWithoutSamplesAroundItKeepsItsPlace) {
  const LinearTrace light = with_a_step();
  Candidate step;
  step.start = step_at;
  const EdgeFit edge = fit_step_edge(light, step, level_line(1), level_line(1 - step_share), {500, 500});
  EXPECT_EQ(edge.start, step_at);
  EXPECT_FALSE(edge.peak);
}

TEST(EdgeFit, StepBesideAPeakIsToldFromOneUnderIt) {
  for (const double beside : {-20.0, 0.0, 14.0}) {
    LinearTrace light = with_a_step();
    for (std::size_t k = 0; k < light.power.size(); ++k)
      light.power[k] += 0.05 * step_pulse.peak(static_cast<double>(k) - step_at + beside);
    EdgeFit peak;
    peak.start = step_at - beside;
    peak.height = 0.05;
    peak.before = 1;
    const auto step = step_beside_peak(light, peak, level_line(1), level_line(1 - step_share), {300, 700});
    EXPECT_EQ(step.has_value(), beside != 0) << beside;
    if (step) {
      EXPECT_NEAR(*step, step_at, 2) << beside;
    }
  }
}

}  // namespace
}  // namespace strandbook
