#include "domain/applications/job_carries.hpp"

#include <gtest/gtest.h>

#include "domain/applications/carry_for_tests.hpp"

namespace strandbook {
namespace {

const TestWindows window_at_850{{{FibreMode::multimode, {850}, {770}, {953}, {}, table_of_the_test}}, {}};

Application row_of(std::string name, int strands, std::string connector) {
  Application row;
  row.name = std::move(name);
  row.categories = {FibreCategory::om4};
  row.wavelengths = {{850}};
  row.strands = strands;
  row.connector = std::move(connector);
  row.max_length = {{100}, table_of_the_test};
  row.max_loss = {{1.9}, table_of_the_test};
  return row;
}

/// A link of `strands` strands, each with a loss at 850 nm.
Assessment link_of(std::size_t strands) {
  Assessment all;
  Limit limit;
  limit.working = {{"fibre", 0.09, {3.0}, {0.27}, table_of_the_test}};
  all.limits = {limit};
  for (std::uint32_t i = 0; i < strands; ++i) {
    ScheduledStrand strand;
    strand.link = "T1";
    strand.strand = std::to_string(i + 1);
    strand.fibre = FibreCategory::om4;
    strand.length = Metres{90};
    all.schedule.push_back(strand);
    for (const Direction direction : {Direction::a_to_b, Direction::b_to_a}) {
      JudgedTest test;
      test.strand = i;
      test.limit = 0;
      test.wavelength = {850};
      test.loss = {direction == Direction::a_to_b ? 1.0 : 1.1};
      test.direction = direction;
      test.outcome = Outcome::pass;
      test.has_loss = true;
      all.tests.push_back(test);
    }
  }
  return all;
}

std::vector<LinkAnswer> answers(const Assessment& all, const ApplicationTable& applications) {
  const CarryTable table(applications, window_at_850, glass_shape);
  const StrandLosses losses(all);
  const JobLinks links = links_of(all.schedule);
  return answers_for({all, losses, applications, {}}, links.strands.front(), table);
}

TEST(JobCarries, StrandsAreGroupedAsTheApplicationUsesThem) {
  std::vector<std::uint32_t> link(24);
  for (std::uint32_t i = 0; i < 24; ++i) link[i] = i;
  EXPECT_EQ(groups_of(link, row_of("pair", 2, "duplex LC")).size(), 12u);
  const auto arrays = groups_of(link, row_of("array", 8, "MPO-12 PC"));
  ASSERT_EQ(arrays.size(), 2u);
  EXPECT_EQ(arrays[1].strands, (std::vector<std::uint32_t>{12, 13, 14, 15, 20, 21, 22, 23}));
  EXPECT_EQ(groups_of(std::span(link).first(16), row_of("array", 8, "MPO-12 PC")).size(), 2u);
  EXPECT_TRUE(groups_of(std::span(link).first(6), row_of("array", 8, "MPO-12 PC")).empty());
}

TEST(JobCarries, AnArrayIsWhatItsWorstStrandIs) {
  Assessment all = link_of(24);
  all.tests[2 * 21].loss = {2.4};  // strand 22, A→B
  const auto found = answers(all, {row_of("array", 8, "MPO-12 PC"), row_of("pair", 2, "duplex LC")});
  ASSERT_EQ(found.size(), 2u);
  EXPECT_EQ(found[0].groups, (std::array<std::uint32_t, 4>{1, 0, 0, 1}));
  EXPECT_NEAR(found[0].outcome.loss.value, 2.4, 1e-12);
  EXPECT_EQ(found[1].groups, (std::array<std::uint32_t, 4>{11, 0, 0, 1}));
  EXPECT_EQ(found[1].group.strands, (std::vector<std::uint32_t>{20, 21}));
}

TEST(JobCarries, AStrandThatWasNotReadLeavesItsGroupOpen) {
  Assessment all = link_of(2);
  all.tests[2].outcome = Outcome::invalid;
  EXPECT_EQ(answers(all, {row_of("pair", 2, "duplex LC")}).front().outcome.carries, Carries::supported)
      << "the other direction was read";
  all.tests[3].outcome = Outcome::not_tested;
  EXPECT_EQ(answers(all, {row_of("pair", 2, "duplex LC")}).front().outcome.carries, Carries::cannot_say);
}

TEST(JobCarries, OfSeveralRowsTheMostFavourableHolds) {
  Application near = row_of("x", 2, "duplex LC");
  near.max_length = {{50}, table_of_the_test};
  Application far = row_of("x", 2, "duplex LC");
  far.max_length = {{300}, table_of_the_test};
  const auto found = answers(link_of(2), {near, far});
  ASSERT_EQ(found.size(), 1u);
  EXPECT_EQ(found.front().row, 1u);
  EXPECT_EQ(found.front().outcome.carries, Carries::supported);
}

}  // namespace
}  // namespace strandbook
