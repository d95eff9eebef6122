// What is learnt of a tail, and from which stretches.

#include "domain/traces/tail_equations.hpp"

#include <gtest/gtest.h>

namespace strandbook {
namespace {

/// Fibre of 1 with two strong peaks; behind sample 850 the light is what is asked for.
LinearTrace two_peaks(double behind) {
  LinearTrace light;
  light.pulse = {8, 3};
  light.pulse_ns = 30;
  light.step_km = 1e-3;
  light.noise_density = 1e-6;
  light.shown.assign(1000, 1);
  for (const std::size_t peak : {100, 610})
    for (std::size_t k = peak; k < peak + 8; ++k) light.shown[k] = 1000;
  for (std::size_t k = 850; k < 1000; ++k) light.shown[k] = behind;
  light.power = light.shown;
  return light;
}

const std::vector<Straight> two_stretches{{{150, 600}, true}, {{660, 1000}, true}};

TEST(TailEquations, StretchThatNoTailExplainsIsLeftOut) {
  const LinearTrace light = two_peaks(0.5);
  TailEquations equations(light, two_stretches, {0, 0.01});
  ASSERT_TRUE(equations.hold_something());
  const double with = equations.with_shares({}).misfit({});
  EXPECT_TRUE(equations.leave_out_worst({}));
  EXPECT_LT(equations.with_shares({}).misfit({}), with / 100);
  EXPECT_FALSE(equations.leave_out_worst({}));
}

TEST(TailEquations, StretchesOfFibreAreKept) {
  const LinearTrace light = two_peaks(1);
  EXPECT_FALSE(TailEquations(light, two_stretches, {0, 0.01}).leave_out_worst({}));
}

TEST(Tails, StrongTailThatIsAFewHundredthsOffInTheDarkIsOne) {
  LinearTrace light = two_peaks(0);
  light.noise = 1e-3;
  light.noise_seen = true;
  constexpr double share = 1e-3;
  constexpr double length = 60;
  double tail = 0;
  for (std::size_t k = 0; k < light.shown.size(); ++k) {
    if (k >= 100 && light.shown[k] > 2) light.shown[k] = 1e5;
    tail += (light.shown[k] - tail) / length;
    light.shown[k] += share * (k < 850 ? 1 : 0.97) * tail;
  }
  light.power = light.shown;
  const TailsFound found =
      remove_tails(light, {{{150, 600}, true}, {{660, 840}, true}, {{860, 1000}, false}}, {0, 0.01}, {});
  ASSERT_EQ(found.parts.size(), 1u);
  EXPECT_NEAR(found.parts[0].share, share, share / 20);
}

TEST(Tails, OneTooWeakToBeToldIsInTheUncertainty) {
  LinearTrace light = two_peaks(1);
  const TailsFound found = remove_tails(light, two_stretches, {0, 0.01}, {});
  EXPECT_TRUE(found.parts.empty());
  EXPECT_EQ(light.tail_density[50], 0);
  EXPECT_GT(light.tail_density[160], 0);
  EXPECT_LT(light.tail_density[590], light.tail_density[160]);
}

TEST(TailEquations, LightOfAnEchoIsNotAsked) {
  LinearTrace light = two_peaks(1);
  for (std::size_t k = 300; k < 320; ++k) light.shown[k] = light.power[k] = 1.2;
  const double seen = TailEquations(light, two_stretches, {0, 0.01}).with_shares({}).misfit({});
  light.echo.assign(light.shown.size(), 0);
  for (std::size_t k = 300; k < 320; ++k) light.echo[k] = 1;
  EXPECT_LT(TailEquations(light, two_stretches, {0, 0.01}).with_shares({}).misfit({}), seen / 100);
}

}  // namespace
}  // namespace strandbook
