#include "domain/applications/reel_check.hpp"

#include <gtest/gtest.h>

namespace strandbook {
namespace {

const Sourced<double> five{5, {"owner", "", "", Standing::own, ""}};

ReelReading reading(const char* reel, const char* strand, double nm, double maker, double site) {
  return {reel, strand, {nm}, DecibelsPerKilometre{maker}, DecibelsPerKilometre{site}, {}, {}};
}

// SOURCE: common practice, worked by hand: 0.205/0.200 = +2.5 %, 0.212/0.200 = +6 %, 0.360/0.340 = +5.88 %.
TEST(ReelCheck, MoreThanFivePercentIsReported) {
  const ReelsJudgement all =
      judge_reels({reading("R8", "1", 1550, 0.200, 0.205), reading("R8", "2", 1550, 0.200, 0.212),
                   reading("R8", "3", 1310, 0.340, 0.360)},
                  five);
  EXPECT_NEAR(all.lines[0].deviation_percent, 2.5, 1e-9);
  EXPECT_NEAR(all.lines[1].deviation_percent, 6.0, 1e-9);
  EXPECT_NEAR(all.lines[2].deviation_percent, 5.88, 5e-3);
  EXPECT_EQ(all.lines[0].word, ReelWord::agrees);
  EXPECT_EQ(all.lines[1].word, ReelWord::higher);
  EXPECT_EQ(all.lines[2].word, ReelWord::higher);
  ASSERT_EQ(all.reels.size(), 1u);
  EXPECT_EQ(all.reels[0].status, ReelStatus::on_hold);
  EXPECT_EQ(all.reels[0].report, (std::vector<std::uint32_t>{1, 2}));
}

TEST(ReelCheck, ExactlyWhatIsAllowedAgrees) {
  const ReelsJudgement all = judge_reels({reading("R1", "1", 1550, 0.200, 0.210)}, five);
  EXPECT_EQ(all.lines[0].word, ReelWord::agrees);
  EXPECT_EQ(all.reels[0].status, ReelStatus::released);
}

TEST(ReelCheck, FarBelowTheRecordIsADeviationToo) {
  const ReelsJudgement all = judge_reels({reading("R1", "1", 1550, 0.200, 0.150)}, five);
  EXPECT_EQ(all.lines[0].word, ReelWord::lower);
  EXPECT_EQ(all.reels[0].status, ReelStatus::on_hold);
}

TEST(ReelCheck, MissingValueHoldsAndApprovalReleases) {
  ReelReading missing = reading("R1", "1", 1550, 0.2, 0.2);
  missing.site.reset();
  EXPECT_EQ(judge_reels({missing}, five).reels[0].status, ReelStatus::on_hold);
  ReelReading approved = reading("R2", "1", 1550, 0.2, 0.3);
  approved.approved_by = "Owner, letter of 4 May";
  const ReelsJudgement all = judge_reels({approved, reading("R2", "2", 1550, 0.2, 0.3)}, five);
  EXPECT_EQ(all.reels[0].status, ReelStatus::approved);
  EXPECT_EQ(all.reels[0].report.size(), 2u);  // it stays in the record
}

}  // namespace
}  // namespace strandbook
