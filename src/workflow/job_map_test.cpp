#include "workflow/job_map.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "domain/verdict/judge_test_ground.hpp"

namespace strandbook {
namespace {

/// Strand 01 is tested in whichever direction, 02 in both; both at 850 and 1300 nm.
class JobMapTest : public testing::Test {
 protected:
  JobMapTest() {
    settings_.plan.rule = &rules_.front();
    JobInput input;
    for (const DirectionDemand demand : {DirectionDemand::either, DirectionDemand::both}) {
      ScheduledStrand strand;
      strand.link = "BB1";
      strand.strand = demand == DirectionDemand::either ? "01" : "02";
      strand.fixed_limit = Decibels{1.5};
      strand.fibre = FibreCategory::om4;
      strand.method = ReferenceMethod::one_cord;
      strand.directions = demand;
      input.schedule.push_back(strand);
    }
    auto begun = LiveJudgement::begin(std::move(input), rules_, settings_);
    EXPECT_TRUE(begun);
    judgement_ = std::move(*begun);
  }
  void read(const char* strand, std::optional<Direction> direction) {
    Reading row;
    row.link = "BB1";
    row.strand = strand;
    row.wavelength = {850};
    row.direction = direction;
    row.kind = ReadingKind::loss;
    row.value = 0.4;
    EXPECT_TRUE(judgement_->add(row));
  }
  std::string columns() const {
    std::string words;
    for (const MapColumn& column : columns_of(*judgement_))
      words += std::to_string(std::lround(column.wavelength.value)) +
               (column.direction ? std::string(text_of(*column.direction)) : "") + " ";
    return words;
  }
  std::vector<std::string> cells() const { return cells_of(*judgement_, columns_of(*judgement_)); }

  Rulebook rules_{owner_rule()};
  JudgeSettings settings_;
  std::unique_ptr<LiveJudgement> judgement_;
};

TEST_F(JobMapTest, EveryCellSaysWhichTestItIs) {
  EXPECT_EQ(columns(), "850 850AB 850BA 1300 1300AB 1300BA ");
  EXPECT_EQ(cells(), (std::vector<std::string>{"N.", ".N", ".N", "N.", ".N", ".N"}));
  read("01", Direction::b_to_a);
  read("02", Direction::b_to_a);
  EXPECT_EQ(cells(), (std::vector<std::string>{"P.", ".N", ".P", "N.", ".N", ".N"}));
}

TEST_F(JobMapTest, ColumnsThatListenersKnowShowWhatIsRecordedMeanwhile) {
  const std::vector<MapColumn> either{{{850}, std::nullopt}};
  read("02", Direction::a_to_b);
  EXPECT_EQ(letters_of(*judgement_, either, 1), "N") << "the worse of both directions";
  read("02", Direction::b_to_a);
  EXPECT_EQ(letters_of(*judgement_, either, 1), "P");
}

}  // namespace
}  // namespace strandbook
