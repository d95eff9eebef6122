#include "edge/exchange/recorded_file.hpp"

#include <gtest/gtest.h>

namespace strandbook {
namespace {

constexpr std::string_view assessment =
    R"({"format": 1, "job": "Hall", "guard": "U", "summary": {"planned": 2},
 "tests": [
  {"link": "BB1", "strand": "01", "wavelength_nm": 1310, "direction": "AB", "loss_db": 0.71, "uncertainty_db": 0.1,
   "shared_uncertainty_db": 0.06, "limit_db": 1.2, "outcome": "pass", "reason": null, "findings": ["F1"],
   "working": [{"term": "fibre", "strand": "no", "count": 1}]},
  {"link": "BB1", "strand": "02", "wavelength_nm": 1310, "direction": null, "loss_db": 0.2, "uncertainty_db": null,
   "shared_uncertainty_db": null, "limit_db": null, "outcome": "invalid", "findings": [], "working": []}],
 "findings": [{"id": "F1", "link": "none"}]})";

TEST(RecordedFile, TestsAsTheyWereWritten) {
  const auto job = read_recorded_text(assessment, "a.json");
  ASSERT_TRUE(job) << describe(job.problem());
  EXPECT_EQ(job->name, "Hall");
  EXPECT_EQ(job->guard, GuardBand::expanded_uncertainty);
  ASSERT_EQ(job->tests.size(), 2u);
  EXPECT_EQ(job->tests[0].strand, "01");
  EXPECT_EQ(job->tests[0].direction, Direction::a_to_b);
  EXPECT_EQ(job->tests[0].loss->value, 0.71);
  EXPECT_EQ(job->tests[0].shared.value, 0.06);
  EXPECT_EQ(job->tests[0].limit->value, 1.2);
  EXPECT_FALSE(job->tests[1].loss);  // its evidence cannot count
  EXPECT_EQ(job->tests[1].outcome, Outcome::invalid);
}

TEST(RecordedFile, WhatIsNoAssessment) {
  EXPECT_FALSE(read_recorded_text(assessment.substr(0, 300), "a.json"));
  EXPECT_FALSE(read_recorded_text("[1, 2]", "a.json"));
  EXPECT_FALSE(read_recorded_text(R"({"format": 2, "tests": []})", "a.json"));
  EXPECT_FALSE(read_recorded_text(R"({"format": 1})", "a.json"));
  const auto bad = read_recorded_text(
      R"({"format": 1, "tests": [{"link": "a", "strand": "b", "outcome": "fine"}]})", "a.json");
  ASSERT_FALSE(bad);
  EXPECT_EQ(bad.problem().found, "test 1 without \"outcome\"");
  EXPECT_TRUE(looks_like_recorded(" \n{"));
  EXPECT_FALSE(looks_like_recorded("SQLite format 3"));
}

TEST(RecordedFile, AFormatBeyondAnyNumberOfOursIsRefused) {
  EXPECT_FALSE(read_recorded_text(R"({"format":9e87,"tests":[]})", "t.json"));
}

}  // namespace
}  // namespace strandbook
