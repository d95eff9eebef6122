// Where a step begins, with other things about.

#include "domain/traces/edge_fit.hpp"

#include <gtest/gtest.h>

#include <cmath>

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

}  // namespace
}  // namespace strandbook
