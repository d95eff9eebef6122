#include "domain/plan/strand_index.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace strandbook {
namespace {

Schedule strands(const std::vector<std::pair<std::string, std::string>>& names) {
  Schedule schedule;
  for (const auto& [link, strand] : names) {
    ScheduledStrand row;
    row.link = link;
    row.strand = strand;
    schedule.push_back(row);
  }
  return schedule;
}

TEST(StrandIndex, FindsByLinkAndStrandOrByStrandAloneWhereThatIsUnique) {
  const Schedule schedule = strands({{"K1", "01"}, {"K1", "02"}, {"K2", "01"}});
  const StrandIndex index(schedule);
  EXPECT_EQ(index.find("K1", "01"), 0u);
  EXPECT_EQ(index.find("K2", "01"), 2u);
  EXPECT_EQ(index.find("", "02"), 1u);
  EXPECT_EQ(index.find("", "01"), no_strand);    // two links have it
  EXPECT_EQ(index.find("K3", "02"), no_strand);  // another link's strand is another strand
  EXPECT_EQ(index.find("K1", "1"), no_strand);   // leading zeros are part of the name
}

TEST(StrandIndex, TheCableStandsForTheLink) {
  Schedule schedule = strands({{"", "1"}, {"", "2"}});
  schedule[0].cable = schedule[1].cable = "C4";
  const StrandIndex index(schedule);
  EXPECT_EQ(index.find("C4", "2"), 1u);
  EXPECT_EQ(index.find("", "1"), 0u);
}

TEST(StrandIndex, AScheduleOfStrandsOnlyDoesNotContradictALink) {
  const Schedule schedule = strands({{"", "T1-01"}, {"H7", ""}});
  const StrandIndex index(schedule);
  EXPECT_EQ(index.find("T1", "T1-01"), 0u);
  EXPECT_EQ(index.find("H7", ""), 1u);
}

TEST(NameGuesser, CaseBlanksAndJointsAreSafe) {
  const Schedule schedule = strands({{"QX-01", "07"}, {"QX-01", "08"}, {"QX-01", "10"}, {"QX-01", "01"}});
  const NameGuesser guesser(schedule);
  EXPECT_EQ(guesser.guess("", "qx-01-08 ").strand, 1u);
  EXPECT_EQ(guesser.guess("", "qx-01-08 ").repairs, 0);
  EXPECT_EQ(guesser.guess(" QX-01", "07 ").strand, 0u);
}

TEST(NameGuesser, RiskyRepairsAreNamed) {
  const Schedule schedule = strands({{"", "QX-01-07"}, {"", "QX-01-08"}, {"", "QX-01-10"}, {"", "QX-01-01"}});
  const NameGuesser guesser(schedule);
  const auto guess = [&guesser](const char* text) { return guesser.guess("", text); };
  EXPECT_EQ(guess("QX-1-7").strand, 0u);
  EXPECT_EQ(describe_repairs(guess("QX-1-7").repairs), "padding");
  EXPECT_EQ(guess("QX-01-1O").strand, 2u);
  EXPECT_EQ(describe_repairs(guess("QX-01-1O").repairs), "letters");
  EXPECT_EQ(guess("QX 01 07").strand, 0u);
  EXPECT_EQ(describe_repairs(guess("QX 01 07").repairs), "separators");
  EXPECT_EQ(guess("QX-01-I").strand, 3u);
  EXPECT_EQ(describe_repairs(guess("QX-01-I").repairs), "padding, letters");
  EXPECT_EQ(guess("QX-01-99").strand, no_strand);
}

TEST(NameGuesser, SpreadsheetDamage) {
  const Schedule schedule = strands({{"", "001"}, {"", "010"}, {"", "1E10"}, {"", "1E11"}});
  const NameGuesser guesser(schedule);
  EXPECT_EQ(guesser.guess("", "1").strand, 0u);
  EXPECT_EQ(guesser.guess("", "10").strand, 1u);
  EXPECT_EQ(guesser.guess("", "1.00E+10").strand, 2u);
  EXPECT_EQ(describe_repairs(guesser.guess("", "1.00E+11").repairs), "exponent");
}

TEST(NameGuesser, WhatCouldBeTwoStrandsIsNoProposal) {
  const Schedule schedule = strands({{"", "A-1"}, {"", "A-01"}});
  EXPECT_EQ(NameGuesser(schedule).guess("", "A-001").strand, no_strand);
}

TEST(Schedule, AStrandListedTwiceIsPlannedOnce) {
  Schedule schedule = strands({{"K1", "01"}, {"K1", "02"}, {"K1", "01"}});
  schedule[2].at = {"s.csv", "", 4, ""};
  const SortedSchedule sorted = without_repeats(schedule);
  EXPECT_EQ(sorted.strands.size(), 2u);
  ASSERT_EQ(sorted.repeated.size(), 1u);
  EXPECT_EQ(sorted.repeated[0].at.row, 4u);
}

RC_GTEST_PROP(StrandIndex, EveryUniqueNameIsFound, (std::vector<std::pair<std::string, std::string>> names)) {
  const Schedule schedule = without_repeats(strands(names)).strands;
  const StrandIndex index(schedule);
  for (std::uint32_t i = 0; i < schedule.size(); ++i) {
    if (schedule[i].link.empty()) continue;
    RC_ASSERT(index.find(schedule[i].link, schedule[i].strand) == i);
  }
}

}  // namespace
}  // namespace strandbook
