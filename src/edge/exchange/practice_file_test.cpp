#include "edge/exchange/practice_file.hpp"

#include <gtest/gtest.h>

namespace strandbook {
namespace {

Practice shipped_practice() {
  Result<Practice> practice = read_practice(STRANDBOOK_ROOT "/rules/practice");
  EXPECT_TRUE(practice) << (practice ? "" : describe(practice.problem()));
  return std::move(*practice);
}

double expanded(FibreMode mode, double nm, double loss, double length_m) {
  const LossConditions at{mode, {nm}, {loss}, {length_m}, false, {}};
  return 2 * combined_standard(contributions_of(shipped_practice().uncertainty, at)).value;
}

// SOURCE: typical expanded uncertainties of loss with source and meter, 0.2–0.35 dB multimode and
// 0.15–0.25 dB single-mode; common practice, from memory.
TEST(Practice, TypicalUncertaintiesAreThoseOfTheTrade) {
  for (const double loss : {0.5, 1.0, 1.8}) {
    EXPECT_GT(expanded(FibreMode::multimode, 850, loss, 100), 0.20);
    EXPECT_LT(expanded(FibreMode::multimode, 850, loss, 100), 0.35);
    EXPECT_GT(expanded(FibreMode::single_mode, 1310, loss, 500), 0.15);
    EXPECT_LT(expanded(FibreMode::single_mode, 1310, loss, 500), 0.26);
  }
}

TEST(Practice, ShippedAllowances) {
  EXPECT_EQ(shipped_practice().gain_allowance, Decibels{0.05});
  EXPECT_EQ(shipped_practice().references.change_allowed, Decibels{0.10});
  EXPECT_EQ(shipped_practice().references.valid_for_s, 24 * 3600);
}

TEST(Practice, AWrongUnitIsNamedWithItsLine) {
  const auto model = read_uncertainty_text(
      "{\"contributions\": [\n{\"name\": \"linearity\", \"mode\": \"both\", \"half_width\": 0.05, \"unit\": "
      "\"dBm\",\n"
      "\"standing\": \"own\", \"clause\": \"\"}]}",
      "mine.json");
  ASSERT_FALSE(model);
  EXPECT_EQ(model.problem().at.row, 2u);
  EXPECT_NE(describe(model.problem()).find("dB per km"), std::string::npos);
}

TEST(Practice, ANegativeWidthIsRefused) {
  EXPECT_FALSE(
      read_uncertainty_text("{\"contributions\": [{\"name\": \"x y\", \"mode\": \"both\", \"half_width\": -1,"
                            "\"unit\": \"dB\", \"standing\": \"own\", \"clause\": \"\"}]}",
                            "mine.json"));
  EXPECT_FALSE(read_practice("/nowhere"));
}

}  // namespace
}  // namespace strandbook
