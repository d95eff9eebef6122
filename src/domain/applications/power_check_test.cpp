#include "domain/applications/power_check.hpp"

#include <gtest/gtest.h>

namespace strandbook {
namespace {

const RuleRef module_source{"module", "", "", Standing::own, ""};

LiveLevel received(double dbm, double u = 0) {
  LiveLevel level;
  level.level = {dbm};
  level.standard_uncertainty = {u};
  return level;
}

LevelWindow between(double low, double high) {
  LevelWindow window;
  window.low_alarm = {{low}, module_source};
  window.high_alarm = {{high}, module_source};
  return window;
}

JudgedLevel judged(const LiveLevel& level, const LevelWindow& window) {
  return judge_level(level, window, GuardBand::none);
}

TEST(PowerCheck, MarginsToSensitivityAndOverload) {
  const JudgedLevel level = judged(received(-11.5), between(-18, -1));
  EXPECT_EQ(level.outcome, Outcome::pass);
  EXPECT_NEAR(level.above_low->value, 6.5, 1e-12);
  EXPECT_NEAR(level.below_high->value, 10.5, 1e-12);
}

TEST(PowerCheck, ALinkThatWorksMayHaveUsedUpItsReserve) {
  LevelWindow window = between(-18, 0);
  window.reserve = {3};
  EXPECT_EQ(judged(received(-11.5), window).outcome, Outcome::pass);
  const JudgedLevel dirty = judged(received(-15.3), window);
  EXPECT_EQ(dirty.outcome, Outcome::fail);
  EXPECT_EQ(dirty.reason, LevelReason::below_reserve);
  EXPECT_NEAR(dirty.after_reserve->value, -0.3, 1e-9);
}

TEST(PowerCheck, TooMuchLightAsksForAnAttenuator) {
  const JudgedLevel hot = judged(received(3.5), between(-15.8, -1));
  EXPECT_EQ(hot.outcome, Outcome::fail);
  EXPECT_EQ(hot.reason, LevelReason::high);
  EXPECT_NEAR(hot.attenuator.value, 4.5, 1e-12);
  LevelWindow window = between(-15.8, -1);
  window.damage = {{3.0}, module_source};
  EXPECT_EQ(judged(received(3.5), window).reason, LevelReason::damage);
}

TEST(PowerCheck, WarningsLieInsideAlarms) {
  LevelWindow window = between(-16.4, 2.5);
  window.low_warning = {{-14.4}, module_source};
  window.high_warning = {{0.5}, module_source};
  EXPECT_EQ(judged(received(-15.1), window).reason, LevelReason::low_warning);
  EXPECT_EQ(judged(received(-15.1), window).outcome, Outcome::conditional_pass);
  EXPECT_EQ(judged(received(-17), window).reason, LevelReason::low);
  EXPECT_EQ(judged(received(1), window).reason, LevelReason::high_warning);
}

TEST(PowerCheck, DarkFailsAndUnusedIsNotTested) {
  LiveLevel level = received(0);
  level.kind = LevelKind::no_light;
  EXPECT_EQ(judged(level, between(-16, 0)).outcome, Outcome::fail);
  level.kind = LevelKind::lane_unused;
  EXPECT_EQ(judged(level, between(-16, -1)).outcome, Outcome::not_tested);
}

TEST(PowerCheck, ANumberFromMemoryNeverTurnsTheOutcomeByItself) {
  LevelWindow window = between(-16, 0);
  window.low_alarm->source.standing = Standing::from_memory;
  const JudgedLevel low = judged(received(-20), window);
  EXPECT_EQ(low.outcome, Outcome::invalid);
  EXPECT_EQ(low.reason, LevelReason::memory_against);
  EXPECT_TRUE(judged(received(-10), window).unverified);
  EXPECT_EQ(judged(received(1), window).outcome, Outcome::fail) << "the other bound was seen";
}

// SOURCE: 10·log10(4) = 6.02 dB, 10·log10(8) = 9.03 dB (definition of the decibel).
TEST(PowerCheck, AMeterSeesTheLanesTogether) {
  EXPECT_NEAR((PowerDbm{0} - mean_lane_power({0}, 4)).value, 6.0206, 1e-4);
  EXPECT_NEAR((PowerDbm{0} - mean_lane_power({0}, 8)).value, 9.0309, 1e-4);
}

TEST(PowerCheck, TheGuardBandMakesACloseLevelConditional) {
  EXPECT_EQ(judge_level(received(-15.9, 0.2), between(-16, 0), GuardBand::expanded_uncertainty).outcome,
            Outcome::conditional_pass);
  EXPECT_EQ(judge_level(received(-16.1, 0.2), between(-16, 0), GuardBand::expanded_uncertainty).outcome,
            Outcome::conditional_fail);
}

}  // namespace
}  // namespace strandbook
