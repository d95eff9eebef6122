#include "domain/verdict/continuity.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <random>

#include "domain/plan/strand_index.hpp"

namespace strandbook {
namespace {

Schedule twelve_ports() {
  Schedule schedule;
  for (int i = 1; i <= 12; ++i) {
    ScheduledStrand strand;
    strand.link = "K1";
    strand.strand = std::to_string(i);
    strand.end_a = "A" + strand.strand;
    strand.end_b = "B" + strand.strand;
    schedule.push_back(strand);
  }
  return schedule;
}

LightPath path(std::string in, std::string out, std::optional<std::int64_t> second = {}) {
  LightPath made;
  made.in = std::move(in);
  made.out = std::move(out);
  if (second) made.time = Instant{*second, true, true, true};
  return made;
}

Continuity state(const ContinuityMap& map, std::size_t strand) { return map.strands[strand - 1].state; }

TEST(Continuity, NothingRecordedNothingKnown) {
  EXPECT_TRUE(continuity_of(twelve_ports(), {}).strands.empty());
}

TEST(Continuity, StraightCrossedDarkAndNotTried) {
  const ContinuityMap map = continuity_of(
      twelve_ports(), {path("A1", "B1"), path("a 2 ", "b 3"), path("B4", "A4"), path("A5", "")});
  EXPECT_EQ(state(map, 1), Continuity::straight);
  EXPECT_EQ(state(map, 2), Continuity::not_tried);  // "a 2" is another name than "A2"
  EXPECT_EQ(map.unplaced, std::vector<std::uint32_t>{1});
  EXPECT_EQ(state(map, 4), Continuity::straight);
  EXPECT_EQ(state(map, 5), Continuity::dark);
  EXPECT_EQ(state(map, 6), Continuity::not_tried);
}

TEST(Continuity, TheWorseEndCounts) {
  const ContinuityMap map = continuity_of(twelve_ports(), {path("A1", "B1"), path("B1", "A2")});
  EXPECT_EQ(state(map, 1), Continuity::crossed);
  EXPECT_EQ(map.strands[0].out_of, 1u);
}

TEST(Continuity, APortOfSeveralStrandsNamesNone) {
  Schedule schedule = twelve_ports();
  schedule[1].end_b = "B1";
  const ContinuityMap map = continuity_of(schedule, {path("A1", "B1"), path("A3", "B3")});
  EXPECT_EQ(map.unplaced, std::vector<std::uint32_t>{0});
  EXPECT_EQ(state(map, 3), Continuity::straight);
}

// Whatever order dated rows come in, the same is known in the end: books merge in any order.
TEST(Continuity, OrderOfDatedRowsDoesNotMatter) {
  std::mt19937 dice(20261126);
  for (int round = 0; round < 200; ++round) {
    std::vector<LightPath> paths;
    for (int i = 0; i < 40; ++i) {
      const auto port = [&] { return std::to_string(1 + dice() % 12); };
      paths.push_back(path("A" + port(), dice() % 5 == 0 ? "" : "B" + port(), i * 60));
    }
    const ContinuityMap first = continuity_of(twelve_ports(), paths);
    std::vector<LightPath> shuffled = paths;
    std::shuffle(shuffled.begin(), shuffled.end(), dice);
    const ContinuityMap second = continuity_of(twelve_ports(), shuffled);
    for (std::size_t strand = 1; strand <= 12; ++strand) {
      ASSERT_EQ(state(first, strand), state(second, strand));
      ASSERT_EQ(first.strands[strand - 1].out_of, second.strands[strand - 1].out_of);
    }
  }
}

}  // namespace
}  // namespace strandbook
