#include "domain/applications/carry.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "domain/applications/carry_for_tests.hpp"
#include "domain/applications/carry_working.hpp"

namespace strandbook {
namespace {

const RuleRef recalled{"table of the test", "1", "1", Standing::from_memory, ""};

const TestWindows windows_of_both_modes{
    {{FibreMode::multimode, {850}, {770}, {953}, Nanometres{850}, table_of_the_test},
     {FibreMode::single_mode, {1310}, {1260}, {1360}, Nanometres{1310}, table_of_the_test},
     {FibreMode::single_mode, {1550}, {1530}, {1625}, {}, table_of_the_test}},
    {}};

/// 100 m and 1.9 dB over OM4 at 850 nm, as the consortium's page for 25GBASE-SR prints it.
Application short_reach(const RuleRef& source = table_of_the_test) {
  Application row;
  row.name = "25GBASE-SR";
  row.categories = {FibreCategory::om4};
  row.wavelengths = {{850}};
  row.max_length = {{100}, source};
  row.max_loss = {{1.9}, source};
  row.source = source;
  return row;
}

Application long_reach() {
  Application row;
  row.name = "WDM-10";
  row.categories = {FibreCategory::os2};
  row.wavelengths = {{1271}, {1291}, {1311}, {1331}};
  row.use = WavelengthUse::multiplexed;
  row.lanes = 4;
  row.max_length = {{10000}, table_of_the_test};
  row.max_loss = {{6.3}, table_of_the_test};
  return row;
}

struct Ground {
  explicit Ground(Application row) : table{std::move(row)} {}
  CarryOutcome judge() const {
    return CarryTable(table, windows_of_both_modes, glass_shape).judge(0, channel());
  }
  MeasuredChannel channel() const { return {fibre, cable_class, length, losses, guard}; }
  void read(double nm, double loss, double u = 0.1) {
    losses.push_back({{nm}, {loss}, {u}, {loss}, DecibelsPerKilometre{nm < 1000 ? 3.0 : 0.4}});
  }
  ApplicationTable table;
  std::optional<FibreCategory> fibre = FibreCategory::om4;
  std::optional<DecibelsPerKilometre> cable_class;
  std::optional<Metres> length = Metres{90};
  std::vector<MeasuredLoss> losses;
  GuardBand guard = GuardBand::none;
};

TEST(Carry, LengthAndLossAreTestedApart) {
  Ground ground(short_reach());
  ground.read(850, 1.9);
  EXPECT_EQ(ground.judge().carries, Carries::supported);
  ground.length = Metres{101};
  EXPECT_EQ(ground.judge().carries, Carries::not_supported);
  EXPECT_TRUE(ground.judge().reasons.has(CarryReason::length_beyond));
  EXPECT_FALSE(ground.judge().reasons.has(CarryReason::loss_beyond));
  ground.length = Metres{100};
  ground.losses.front().loss = {1.91};
  EXPECT_EQ(ground.judge().carries, Carries::not_supported);
  EXPECT_TRUE(ground.judge().reasons.has(CarryReason::loss_beyond));
}

TEST(Carry, WhatIsNotKnownIsNotGuessed) {
  Ground ground(short_reach());
  EXPECT_EQ(ground.judge().carries, Carries::cannot_say);
  ground.read(850, 1.0);
  ground.length.reset();
  EXPECT_EQ(ground.judge().carries, Carries::cannot_say);
  EXPECT_TRUE(ground.judge().reasons.has(CarryReason::length_unknown));
}

TEST(Carry, ANumberFromMemoryNeverSettlesItAlone) {
  Ground ground(short_reach(recalled));
  ground.read(850, 1.0);
  EXPECT_EQ(ground.judge().carries, Carries::supported_with);
  EXPECT_TRUE(ground.judge().reasons.has(CarryReason::memory_for));
  ground.losses.front().loss = {2.5};
  EXPECT_EQ(ground.judge().carries, Carries::cannot_say);
  EXPECT_TRUE(ground.judge().reasons.has(CarryReason::memory_against));
  ground.table.front().max_length->source = table_of_the_test;
  ground.length = Metres{120};
  EXPECT_EQ(ground.judge().carries, Carries::not_supported) << "the length alone settles it";
}

TEST(Carry, TheUncertaintyCountsWhereTheJobSaysSo) {
  Ground ground(short_reach());
  ground.guard = GuardBand::expanded_uncertainty;
  ground.read(850, 1.8);
  EXPECT_EQ(ground.judge().carries, Carries::supported_with);
  ground.losses.front().loss = {2.0};
  EXPECT_EQ(ground.judge().carries, Carries::cannot_say);
  ground.losses.front().loss = {2.2};
  EXPECT_EQ(ground.judge().carries, Carries::not_supported);
}

TEST(Carry, AShortWavelengthIsNeverJudgedFromALongerOne) {
  Ground ground(long_reach());
  ground.length = Metres{9000};
  ground.read(1550, 2.0);
  EXPECT_EQ(ground.judge().carries, Carries::cannot_say);
  EXPECT_TRUE(ground.judge().reasons.has(CarryReason::short_side_unread));
  ground.read(1310, 3.6);
  EXPECT_EQ(ground.judge().carries, Carries::supported);
  EXPECT_EQ(ground.judge().read, 1);
}

// SOURCE: IEEE 802.3ae link model workbook 10GEPBud3_1_16a: a(λ) = A1310/1.4846·[1.05 + (0.00094·λ)^−4].
TEST(Carry, TheShortestLaneIsTheWorstAndGetsItsRise) {
  Ground ground(long_reach());
  ground.length = Metres{10000};
  ground.read(1310, 4.0);
  const CarryOutcome outcome = ground.judge();
  EXPECT_EQ(outcome.lane, 0);
  const double rise =
      4.0 * ((1.05 + std::pow(0.00094 * 1271, -4)) / (1.05 + std::pow(0.00094 * 1310, -4)) - 1);
  EXPECT_NEAR(outcome.loss.value, 4.0 + rise, 1e-12);
  EXPECT_NEAR(rise, 0.1505, 0.0001);
}

TEST(Carry, TooLittleLossAsksForAnAttenuator) {
  Application row = long_reach();
  row.min_loss = {{5.0}, table_of_the_test};
  row.window.launch_max = {{4.0}, table_of_the_test};
  row.window.receive_max = {{-1.0}, table_of_the_test};
  Ground ground(row);
  ground.length = Metres{500};
  ground.read(1310, 0.5);
  const CarryOutcome outcome = ground.judge();
  EXPECT_EQ(outcome.carries, Carries::supported_with);
  EXPECT_TRUE(outcome.reasons.has(CarryReason::too_little_loss));
  EXPECT_NEAR(outcome.attenuator.value, 4.5, 0.02);
}

TEST(Carry, ReachFollowsTheClassOfTheCable) {
  Application row = long_reach();
  row.cable_class = {{0.4}, table_of_the_test};
  Ground ground(row);
  ground.read(1310, 3.0);
  EXPECT_EQ(ground.judge().carries, Carries::supported_with);
  ground.cable_class = DecibelsPerKilometre{0.4};
  EXPECT_EQ(ground.judge().carries, Carries::supported);
  ground.cable_class = DecibelsPerKilometre{1.0};
  EXPECT_EQ(ground.judge().carries, Carries::cannot_say);
}

TEST(Carry, RemediesSayWhatWouldBeEnough) {
  Ground ground(short_reach());
  ground.read(850, 2.3);
  const MeasuredChannel channel = ground.channel();
  const std::vector<Remedy> remedies =
      remedies_of(channel, ground.judge(), {4, {}, {0.2}});  // 0.27 fibre, 2.03 in four connections
  ASSERT_EQ(remedies.size(), 3u);
  EXPECT_NEAR(remedies[0].saves.value, 2.03 - 0.8, 1e-9);
  EXPECT_TRUE(remedies[0].enough);
  EXPECT_NEAR(remedies[1].saves.value, 2.03 / 4, 1e-9);
  EXPECT_TRUE(remedies[1].enough);
  EXPECT_NEAR(remedies[2].shorter.value, 0.4 / 3 * 1000, 1e-6);
  EXPECT_FALSE(remedies[2].enough) << "the fibre alone does not lose so much";
}

/// More loss, more length never gains an application.
RC_GTEST_PROP(Carry, MoreLossOrLengthNeverGainsAnApplication, ()) {
  Ground ground(*rc::gen::element(0, 1) == 0 ? short_reach() : long_reach());
  const bool multimode = ground.table.front().lanes == 1;
  ground.guard = *rc::gen::element(GuardBand::none, GuardBand::expanded_uncertainty);
  ground.length = Metres{static_cast<double>(*rc::gen::inRange(0, 12000))};
  ground.read(multimode ? 850 : 1310, *rc::gen::inRange(0, 900) / 100.0);
  const Carries before = ground.judge().carries;
  ground.losses.front().loss += Decibels{*rc::gen::inRange(0, 300) / 100.0};
  ground.length = *ground.length + Metres{static_cast<double>(*rc::gen::inRange(0, 500))};
  const Carries after = ground.judge().carries;
  RC_ASSERT(before <= after);
}

}  // namespace
}  // namespace strandbook
