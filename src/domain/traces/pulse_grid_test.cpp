#include "domain/traces/pulse_grid.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace strandbook {
namespace {

LinearTrace ramp(std::size_t size, double pulse) {
  LinearTrace light;
  for (std::size_t k = 0; k < size; ++k) light.recorded.push_back(static_cast<double>(k));
  light.power = light.shown = light.recorded;
  light.step_km = 1e-4;
  light.pulse = {pulse, 0.39 * pulse};
  light.noise = light.sample_noise = 1;
  return light;
}

Trace every_decimetre() {
  Trace trace;
  trace.first = {5};
  trace.step = {0.1};
  return trace;
}

TEST(PulseGrid, AMeanStandsInTheMiddleOfItsSamples) {
  LinearTrace light = ramp(20'000, 33);
  const PulseGrid grid = join_samples(every_decimetre(), light);
  ASSERT_EQ(grid.factor, 4u);
  ASSERT_EQ(light.power.size(), 5000u);
  // The ramp tells the sample: its value is its number.
  for (const std::size_t k : {0u, 17u, 4999u})
    EXPECT_NEAR(grid.frame.position_of(static_cast<double>(k)).value, 5 + 0.1 * light.power[k], 1e-9);
  EXPECT_DOUBLE_EQ(light.pulse.width, 8.25);
  EXPECT_EQ(light.recorded.size(), 20'000u);
}

TEST(PulseGrid, NoiseOfNeighboursThatKnowOfEachOtherFallsLittle) {
  // Two samples of correlation exp(-1/10): the mean's variance is (1 + exp(-1/10))/2.
  LinearTrace light = ramp(20'000, 17);
  light.pulse.receiver = 10;
  ASSERT_EQ(join_samples(every_decimetre(), light).factor, 2u);
  EXPECT_NEAR(light.noise, std::sqrt((1 + std::exp(-0.1)) / 2), 1e-12);
  EXPECT_DOUBLE_EQ(light.sample_noise, 1);
}

TEST(PulseGrid, AFullSampleMakesTheMeanFull) {
  LinearTrace light = ramp(20'000, 33);
  light.saturation = 1e6;
  light.recorded[401] = 1e6;
  join_samples(every_decimetre(), light);
  EXPECT_GE(light.power[100], light.saturation);
  EXPECT_LT(light.power[101], light.saturation);
}

TEST(PulseGrid, ShortTracesAndShortPulsesStayAsTheyAre) {
  LinearTrace few = ramp(2500, 100);
  EXPECT_EQ(join_samples(every_decimetre(), few).factor, 1u);
  LinearTrace narrow = ramp(60'000, 10);
  EXPECT_EQ(join_samples(every_decimetre(), narrow).factor, 1u);
  EXPECT_EQ(narrow.power.size(), 60'000u);
}

TEST(PulseGrid, RangesNameTheTracesOwnSamples) {
  TraceAnalysis analysis;
  analysis.events.resize(1);
  analysis.events[0].before = {10, 20};
  analysis.events[0].after = {30, 40};
  analysis.sections.resize(1);
  analysis.sections[0].samples = {10, 20};
  restore_ranges({3, {}}, analysis);
  EXPECT_EQ(analysis.events[0].before.first, 30u);
  EXPECT_EQ(analysis.events[0].after.last, 120u);
  EXPECT_EQ(analysis.sections[0].samples.last, 60u);
}

}  // namespace
}  // namespace strandbook
