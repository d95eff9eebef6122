#include "edge/exchange/power_levels_file.hpp"

#include <gtest/gtest.h>

#include "edge/exchange/application_file.hpp"
#include "edge/exchange/wrong_files_for_tests.hpp"

namespace strandbook {
namespace {

PowerLevels shipped_levels() {
  Result<PowerLevels> levels = read_power_levels(STRANDBOOK_ROOT "/rules/practice/power-levels.json");
  EXPECT_TRUE(levels) << (levels ? "" : describe(levels.problem()));
  return levels ? std::move(*levels) : PowerLevels{};
}

// SOURCE: field reports of module power readings; transceiver data sheet of 400G-FR4.
TEST(PowerLevels, ShippedNumbers) {
  const PowerLevels levels = shipped_levels();
  EXPECT_EQ(levels.no_light.value, PowerDbm{-40});
  EXPECT_EQ(levels.no_light_power.value, Milliwatts{0});
  EXPECT_EQ(levels.no_light_words.front(), "-inf");
  EXPECT_EQ(levels.unused_lane.value, PowerDbm{0});
  ASSERT_EQ(levels.lane_imbalances.size(), 1U);
  EXPECT_EQ(levels.lane_imbalances[0].launch.value, Decibels{4});
  EXPECT_EQ(levels.lane_imbalances[0].receive.value, Decibels{4.1});
  EXPECT_EQ(levels.lane_imbalances[0].launch.source.standing, Standing::seen_in_extract);
}

// A level that some receiver takes, or some network works with, must be neither implausible nor dark.
TEST(PowerLevels, NoApplicationWorksOutsideThePlausible) {
  const PowerLevels levels = shipped_levels();
  const auto table = read_applications(STRANDBOOK_ROOT "/rules/applications");
  ASSERT_TRUE(table);
  for (const Application& row : *table)
    for (const PowerWindow* window : {&row.window, &row.upstream}) {
      for (const auto& most : {window->receive_max, window->damage})
        EXPECT_TRUE(!most || most->value < levels.implausible_receive.value) << row.name;
      EXPECT_TRUE(!window->receive_min || levels.no_light.value < window->receive_min->value) << row.name;
    }
}

// By hand: 10·log10(4) = 6.02 dB, 10·log10(8) = 9.03 dB.
TEST(PowerLevels, AMeterSeesTheSumOfTheLanes) {
  EXPECT_EQ(sum_of_lanes(1), Decibels{0});
  EXPECT_NEAR(sum_of_lanes(4).value, 6.02, 0.005);
  EXPECT_NEAR(sum_of_lanes(8).value, 9.03, 0.005);
}

constexpr std::string_view good_levels = R"({
  "no_light": {"value": -40, "unit": "dBm", "clause": "", "standing": "own"},
  "no_light_power": {"value": 0, "unit": "mW", "clause": "", "standing": "own"},
  "no_light_words": {"value": ["-inf"], "clause": "", "standing": "own"},
  "unused_lane": {"value": 0, "unit": "dBm", "clause": "", "standing": "own"},
  "implausible_receive": {"value": 10, "unit": "dBm", "clause": "", "standing": "own"},
  "lane_imbalances": [
    {"application": "A", "launch": {"value": 4, "unit": "dB", "clause": "", "standing": "own"},
     "receive": {"value": 4.1, "unit": "dB", "clause": "", "standing": "own"}}
  ]
})";

TEST(PowerLevels, NameTheLineOfWhateverIsWrong) {
  ASSERT_TRUE(read_power_levels_text(good_levels, "mine.json"));
  const WrongCase cases[] = {
      {"\"value\": -40", "\"value\": 40", 2, "a number from -100 to -30 dBm"},
      {"\"unit\": \"mW\"", "\"unit\": \"W\"", 3, "the unit \"mW\""},
      {"[\"-inf\"]", "[\"-INF\"]", 4, "a text in lower case"},
      {"[\"-inf\"]", "\"-inf\"", 4, "a list of texts"},
      {"[\"-inf\"]", "[]", 4, "a list of texts"},
      {"\"value\": 10", "\"value\": -10", 6, "a number from 0 to 40 dBm"},
      {"\"application\": \"A\"", "\"application\": \"\"", 8, "\"application\" is empty"},
      {"\"value\": 4.1", "\"value\": 41", 9, "a number from 0 to 20 dB"},
      {"\"unused_lane\"", "\"spare_lane\"", 1, "no \"unused_lane\""},
  };
  for (const WrongCase& wrong : cases) expect_line_named(good_levels, wrong, read_power_levels_text);
  EXPECT_FALSE(read_power_levels("/nowhere.json"));
}

}  // namespace
}  // namespace strandbook
