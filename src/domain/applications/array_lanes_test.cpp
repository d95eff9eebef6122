#include "domain/applications/array_lanes.hpp"

#include <gtest/gtest.h>

#include "domain/applications/array_check.hpp"

namespace strandbook {
namespace {

LaneValue lane(int position, double loss) {
  return {position, "", Decibels{loss}, Decibels{0.5}, std::nullopt, false};
}

// SOURCE: by hand: losses rise by 0.02 dB per position.
TEST(ArrayLanes, WorstSpreadAndSlope) {
  std::vector<LaneValue> lanes;
  for (int i = 1; i <= 12; ++i) lanes.push_back(lane(i, 0.30 + 0.02 * i));
  lanes.push_back({5, "", std::nullopt, std::nullopt, Metres{3}, false});
  const auto all = summary_of(lanes);
  ASSERT_TRUE(all);
  EXPECT_EQ(all->count, 12u);
  EXPECT_EQ(all->worst_position, 12);
  EXPECT_EQ(all->best_position, 1);
  EXPECT_NEAR(all->spread.value, 0.22, 1e-12);
  EXPECT_NEAR(all->slope->value, 0.02, 1e-12);
  EXPECT_NEAR(all->mean.value, 0.43, 1e-12);
  EXPECT_EQ(all->over_limit, (std::vector<int>{11, 12}));  // 0.50 itself is within
  EXPECT_FALSE(summary_of({}));
  EXPECT_FALSE(summary_of(std::vector{lane(1, 0.1), lane(2, 0.2)})->slope);
}

// SOURCE: by hand: 1.481 · 0.5 m / 299 792 458 m/s = 2.470 ns.
TEST(ArrayLanes, SkewFromLengths) {
  const std::vector<LaneValue> lanes = {{1, "", {}, {}, Metres{30.2}, false},
                                        {2, "", {}, {}, Metres{29.9}, false},
                                        {3, "", {}, {}, Metres{30.4}, false}};
  const auto skew = skew_of(lanes, 1.481);
  ASSERT_TRUE(skew);
  EXPECT_EQ(skew->first_position, 2);
  EXPECT_EQ(skew->last_position, 3);
  EXPECT_NEAR(skew->skew_ns, 2.470, 0.0005);
  EXPECT_FALSE(skew_of(std::vector{lanes[0]}, 1.481));
  EXPECT_NEAR(delay_ns({299.792458}, 1), 1000, 1e-9);
}

// SOURCE: order statistics of independent lanes, computed apart from this code: lane quality for 97 % of
// arrays, and share of arrays at 97 % of lanes.
TEST(ArrayLanes, ArraysOfIndependentLanes) {
  const struct {
    int lanes;
    double quality;
  } needed[] = {{4, .99241}, {8, .99620}, {12, .99746}, {16, .99810}, {24, .99873}};
  for (const auto& row : needed) EXPECT_NEAR(lane_quality_needed(0.97, row.lanes), row.quality, 6e-6);
  EXPECT_NEAR(array_pass_probability(0.97, 4), .8853, 5e-5);
  EXPECT_NEAR(array_pass_probability(0.97, 8), .7837, 5e-5);
  EXPECT_NEAR(array_pass_probability(0.97, 12), .6938, 5e-5);
  EXPECT_NEAR(array_pass_probability(0.97, 24), .4814, 5e-5);
}

ArrayMaps one_type() {
  ArrayType type{ArrayPart::array, "A", 12, 12, {}, {}};
  for (int i = 1; i <= 12; ++i) type.map[i] = i;
  return {{type}, {}};
}

JudgedArray checked(const std::vector<LaneValue>& lanes, ArraySettings settings) {
  ArrayRecords records;
  records.losses_given = true;
  records.measured = {{"T", lanes}};
  auto check = judge_arrays(records, settings, one_type());
  EXPECT_TRUE(check);
  return check->arrays.at(0);
}

TEST(ArrayLanes, AMissingOrDarkLaneIsNotTestedAndOneOverFails) {
  std::vector<LaneValue> lanes;
  for (int i = 1; i <= 12; ++i) lanes.push_back(lane(i, 0.3));
  EXPECT_EQ(checked(lanes, {}).loss->outcome, Outcome::pass);
  lanes[3].loss.reset();
  lanes[3].dark = true;
  EXPECT_EQ(checked(lanes, {}).loss->outcome, Outcome::not_tested);
  lanes.erase(lanes.begin() + 3);
  EXPECT_EQ(checked(lanes, {}).loss->outcome, Outcome::not_tested);
  lanes[0].loss = Decibels{0.51};
  EXPECT_EQ(checked(lanes, {}).loss->outcome, Outcome::fail);
  for (LaneValue& each : lanes) each.limit.reset();
  EXPECT_EQ(checked(lanes, {}).loss->outcome, Outcome::not_tested);
}

TEST(ArrayLanes, SkewAgainstAnApplicationsLimit) {
  const std::vector<LaneValue> lanes = {{1, "", {}, {}, Metres{30}, false},
                                        {2, "", {}, {}, Metres{40}, false}};
  ArraySettings settings;
  settings.skew_limit_ns = 79;  // of the application, brought by the caller
  EXPECT_EQ(checked(lanes, settings).skew->outcome, Outcome::not_tested);
  settings.group_index = Sourced<double>{1.481, {}};
  EXPECT_EQ(checked(lanes, settings).skew->outcome, Outcome::pass);
  settings.skew_limit_ns = 49;
  EXPECT_EQ(checked(lanes, settings).skew->outcome, Outcome::fail);
}

}  // namespace
}  // namespace strandbook
