#include "domain/readings/uncertainty.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

namespace strandbook {
namespace {

// SOURCE: JCGM 100:2008 (GUM), H.1: u = 25, 5.8, 3.9, 6.7, 2.88675, 16.5988 nm combine to 31.66 (printed 32).
TEST(Uncertainty, EndGaugeOfTheGuide) {
  std::vector<Contribution> parts;
  for (const double u : {25.0, 5.8, 3.9, 6.7, 2.88675, 16.5988})
    parts.push_back({"", {u}, SharedBy::reading});
  EXPECT_NEAR(combined_standard(parts).value, 31.66, 0.005);
}

// SOURCE: JCGM 100:2008 (GUM), H.1.3.2 sub-sum: 5.8, 3.9, 6.7 combine to 9.68194.
TEST(Uncertainty, EndGaugeSubSum) {
  const std::vector<Contribution> parts{
      {"", {5.8}, SharedBy::reading}, {"", {3.9}, SharedBy::reading}, {"", {6.7}, SharedBy::reading}};
  EXPECT_NEAR(combined_standard(parts).value, 9.68194, 5e-6);
}

// SOURCE: divisors of JCGM 100:2008, 4.3.7, 4.3.9 and the arcsine case; from memory.
TEST(Uncertainty, DivisorsOfTypeB) {
  EXPECT_NEAR(divisor(Spread::rectangular, 1), 1.7320508, 1e-7);
  EXPECT_NEAR(divisor(Spread::triangular, 1), 2.4494897, 1e-7);
  EXPECT_NEAR(divisor(Spread::arcsine, 1), 1.4142136, 1e-7);
  EXPECT_NEAR(divisor(Spread::normal, 2), 2, 1e-12);
}

UncertaintyModel worked_budget() {
  // linearity ±0.05; drift ±0.05; resolution 0.01/√6 as u; polarisation ±0.02; mating 0.05; two cord joints
  // ±0.10
  UncertaintyModel model;
  const auto add = [&model](const char* name, double a, Spread spread, SharedBy shared,
                            Enters when = Enters::always) {
    ContributionRow row;
    row.name = name;
    row.half_width = a;
    row.spread = spread;
    row.shared = shared;
    row.enters = when;
    model.push_back(row);
  };
  add("linearity", 0.05, Spread::rectangular, SharedBy::reading);
  add("drift", 0.05, Spread::rectangular, SharedBy::session, Enters::without_closing_check);
  add("resolution", 0.01 / std::sqrt(6.0), Spread::normal, SharedBy::reading);
  add("polarisation", 0.02, Spread::rectangular, SharedBy::reading);
  add("mating", 0.05, Spread::normal, SharedBy::reading);
  add("cord joint", 0.10, Spread::rectangular, SharedBy::session);
  add("cord joint", 0.10, Spread::rectangular, SharedBy::session);
  add("calibration", 0.09, Spread::normal, SharedBy::session, Enters::instruments_differ);
  return model;
}

constexpr LossConditions at_1310{FibreMode::single_mode, {1310}, {0.8}, {500}, false, {}};

// Worked by hand: u_c = 0.1048 dB, the two cord joints hold 61 % of the variance.
TEST(Uncertainty, WorkedBudgetOfALoss) {
  const auto parts = contributions_of(worked_budget(), at_1310);
  const double u = combined_standard(parts).value;
  EXPECT_NEAR(u, 0.1048, 5e-5);
  EXPECT_NEAR(2 * parts[5].standard.value * parts[5].standard.value / (u * u), 0.61, 0.005);
}

TEST(Uncertainty, AClosingCheckReplacesTheSpecifiedDrift) {
  LossConditions at = at_1310;
  at.reference_change = Decibels{-0.06};
  const auto parts = contributions_of(worked_budget(), at);
  EXPECT_EQ(parts.back().name, "change of the reference, opening to closing");
  EXPECT_NEAR(parts.back().standard.value, 0.06 / std::sqrt(3.0), 1e-12);
  for (const auto& part : parts) EXPECT_NE(part.name, "drift");
}

TEST(Uncertainty, AbsoluteCalibrationCancelsWhileOneMeterReadsBoth) {
  LossConditions at = at_1310;
  const double same = combined_standard(contributions_of(worked_budget(), at)).value;
  at.instruments_differ = true;
  const double other = combined_standard(contributions_of(worked_budget(), at)).value;
  EXPECT_NEAR(other * other - same * same, 0.09 * 0.09, 1e-12);
}

// The quick form used for millions of readings is the same sum.
RC_GTEST_PROP(Uncertainty, BudgetEqualsTheList, ()) {
  LossConditions at = at_1310;
  at.loss = {*rc::gen::inRange(-100, 4000) / 1000.0};
  at.length = {*rc::gen::inRange(0, 90000) / 10.0};
  at.instruments_differ = *rc::gen::arbitrary<bool>();
  if (*rc::gen::arbitrary<bool>()) at.reference_change = Decibels{*rc::gen::inRange(-100, 100) / 1000.0};
  UncertaintyModel model = worked_budget();
  ContributionRow launch;
  launch.name = "launch";
  launch.half_width = 0.1;
  launch.scale = Scale::per_loss;
  launch.minimum = {0.05};
  launch.shared = SharedBy::session;
  model.push_back(launch);
  ContributionRow wavelength;
  wavelength.name = "wavelength";
  wavelength.half_width = 0.02;
  wavelength.scale = Scale::per_kilometre;
  model.push_back(wavelength);
  const auto parts = contributions_of(model, at);
  const auto quick = UncertaintyBudget(model, at.mode, at.wavelength).of(at);
  RC_ASSERT(std::abs(quick.combined.value - combined_standard(parts).value) < 1e-12);
  double shared = 0;
  for (const auto& part : parts)
    if (part.shared == SharedBy::session) shared += part.standard.value * part.standard.value;
  RC_ASSERT(std::abs(quick.shared.value - std::sqrt(shared)) < 1e-12);
}

}  // namespace
}  // namespace strandbook
