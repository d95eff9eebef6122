#include "edge/exchange/test_windows_file.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "edge/exchange/application_file.hpp"
#include "edge/exchange/wrong_files_for_tests.hpp"

namespace strandbook {
namespace {

TestWindows shipped_windows() {
  Result<TestWindows> windows = read_test_windows(STRANDBOOK_ROOT "/rules/practice/test-windows.json");
  EXPECT_TRUE(windows) << (windows ? "" : describe(windows.problem()));
  return windows ? std::move(*windows) : TestWindows{};
}

std::vector<double> readings_for(FibreMode mode, double application) {
  std::vector<double> readings;
  for (const TestWindow& row : windows_for(shipped_windows(), mode, {application}))
    readings.push_back(row.reading.value);
  return readings;
}

TEST(TestWindows, WhatMayStandForWhat) {
  using enum FibreMode;
  EXPECT_EQ(readings_for(multimode, 850), std::vector<double>{850});
  EXPECT_EQ(readings_for(multimode, 770), std::vector<double>{850});
  EXPECT_EQ(readings_for(multimode, 953), std::vector<double>{850});
  EXPECT_EQ(readings_for(multimode, 1310), std::vector<double>{1300});
  EXPECT_EQ(readings_for(single_mode, 1271), std::vector<double>{1310});
  EXPECT_EQ(readings_for(single_mode, 1490), std::vector<double>{1490});
  EXPECT_EQ(readings_for(single_mode, 1550), std::vector<double>{1550});
  EXPECT_EQ(readings_for(single_mode, 1577), (std::vector<double>{1625, 1550}));
  EXPECT_TRUE(readings_for(single_mode, 850).empty());
  EXPECT_TRUE(readings_for(single_mode, 1400).empty());
  EXPECT_EQ(windows_for(shipped_windows(), single_mode, {1271}).front().rise_below, Nanometres{1310});
}

TEST(TestWindows, AReadingAt1550NeverJudgesThe1310Window) {
  const TestWindows windows = shipped_windows();
  EXPECT_TRUE(std::any_of(windows.never.begin(), windows.never.end(), [](const TestWindow& row) {
    return row.mode == FibreMode::single_mode && row.reading == Nanometres{1550} &&
           row.from <= Nanometres{1260} && row.to >= Nanometres{1360};
  }));
}

// An application that no reading may stand for could never be judged.
TEST(TestWindows, EveryShippedApplicationCanBeTested) {
  const auto table = read_applications(STRANDBOOK_ROOT "/rules/applications");
  ASSERT_TRUE(table);
  for (const Application& row : *table) {
    const FibreMode mode = row.fibre.starts_with("SMF") ? FibreMode::single_mode : FibreMode::multimode;
    for (const Nanometres at : row.wavelengths)
      EXPECT_FALSE(readings_for(mode, at.value).empty()) << row.name << " at " << at.value << " nm";
  }
}

constexpr std::string_view good_windows = R"({
  "may_stand": [
    {"mode": "single-mode", "reading_nm": 1310, "from_nm": 1260, "to_nm": 1360, "clause": "", "standing": "own"}
  ],
  "never": [
    {"mode": "single-mode", "reading_nm": 1550, "from_nm": 1260, "to_nm": 1360, "clause": "", "standing": "own"}
  ]
})";

TEST(TestWindows, NameTheLineOfWhateverIsWrong) {
  ASSERT_TRUE(read_test_windows_text(good_windows, "w.json"));
  const WrongCase cases[] = {
      {"\"from_nm\": 1260", "\"from_nm\": 1400", 3, "\"from_nm\" that is not above"},
      {"\"reading_nm\": 1310", "\"reading_nm\": 1550", 2, "no row that \"never\" forbids"},
      {"\"reading_nm\": 1310", "\"reading_nm\": 13", 3, "a number from 400 to 2000 nm"},
      {"\"mode\": \"single-mode\"", "\"mode\": \"both\"", 3, "one of \"multimode\""},
      {", \"standing\": \"own\"", "", 3, "no \"standing\""},
      {"\"never\"", "\"ever\"", 1, "no \"never\""},
      {"\"to_nm\": 1360", "\"to_nm\": 1360, \"rise_below_nm\": 0", 3, "a number from 400 to 2000 nm"},
  };
  for (const WrongCase& wrong : cases) expect_line_named(good_windows, wrong, read_test_windows_text);
  EXPECT_FALSE(read_test_windows("/nowhere.json"));
}

}  // namespace
}  // namespace strandbook
