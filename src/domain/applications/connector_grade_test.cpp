#include "domain/applications/connector_grade.hpp"

#include <gtest/gtest.h>

namespace strandbook {
namespace {

// Numbers of the test, in the manner of a grade: mean 0.12 dB, 97 % within 0.25 dB.
const AttenuationGrade grade{"B", FibreMode::single_mode, {{0.12}, {}}, {{0.25}, {}}, {0.97, {}}};
const ReturnLossGrade forty_five{"2", FibreMode::single_mode, {{45}, {}}};

std::vector<Mating> matings(std::size_t good, std::size_t bad, double low = 0.05) {
  std::vector<Mating> all;
  for (std::size_t i = 0; i < good + bad; ++i) {
    const double loss = i >= good ? 0.3 : low + (i % 2 == 0 ? 0.0 : 0.04);
    all.push_back({"C" + std::to_string(i), "1", {loss}, std::nullopt});
  }
  return all;
}

CordsJudgement judged(const std::vector<Mating>& all, const ReturnLossGrade* return_loss) {
  return judge_cords(all, grade, return_loss, {0.05});
}

TEST(ConnectorGrade, ALargeGoodSetPasses) {
  const CordsJudgement all = judged(matings(100, 3), nullptr);
  EXPECT_EQ(all.outcome, Outcome::pass);
  EXPECT_EQ(all.share.within, 100u);
  EXPECT_EQ(all.share.may_exceed, 3u);
  EXPECT_EQ(all.exceeding.size(), 3u);
  EXPECT_EQ(judged(matings(96, 4), nullptr).share.outcome, Outcome::fail);
  EXPECT_EQ(judged(matings(97, 3), nullptr).share.outcome, Outcome::pass);
}

// SOURCE: by hand: 3 % of 33 is less than one, of 34 more than one.
TEST(ConnectorGrade, ASmallSetIsDisprovedOrNotContradicted) {
  EXPECT_EQ(judged(matings(33, 0), nullptr).share.outcome, Outcome::conditional_pass);
  EXPECT_EQ(judged(matings(32, 1), nullptr).share.outcome, Outcome::fail);
  EXPECT_EQ(judged(matings(34, 0), nullptr).share.outcome, Outcome::pass);
  EXPECT_EQ(judged(matings(33, 1), nullptr).share.outcome, Outcome::pass);
}

TEST(ConnectorGrade, TheMeanIsAsUncertainAsItsStandardError) {
  EXPECT_EQ(judged(matings(40, 0), nullptr).mean.outcome, Outcome::pass);
  EXPECT_EQ(judged(matings(40, 0, 0.097), nullptr).mean.outcome, Outcome::conditional_pass);
  EXPECT_EQ(judged(matings(40, 0, 0.103), nullptr).mean.outcome, Outcome::conditional_fail);
  EXPECT_EQ(judged(matings(40, 0, 0.15), nullptr).mean.outcome, Outcome::fail);
  const CordsJudgement one = judged(matings(1, 0), nullptr);
  EXPECT_EQ(one.mean.outcome, Outcome::conditional_pass);
  EXPECT_FALSE(one.mean.standard_error);
  EXPECT_EQ(judged({}, nullptr).outcome, Outcome::not_tested);
}

TEST(ConnectorGrade, ReturnLossOfEachMating) {
  std::vector<Mating> all = matings(50, 0);
  EXPECT_EQ(judged(all, &forty_five).return_loss->outcome, Outcome::not_tested);
  for (Mating& each : all) each.return_loss = Decibels{45};
  EXPECT_EQ(judged(all, &forty_five).outcome, Outcome::pass);
  all[7].return_loss = Decibels{44.9};
  const CordsJudgement found = judged(all, &forty_five);
  EXPECT_EQ(found.outcome, Outcome::fail);
  EXPECT_EQ(found.return_loss->below, std::vector<std::size_t>{7});
}

TEST(ConnectorGrade, AGainIsImpossible) {
  std::vector<Mating> all = matings(40, 0);
  all[3].loss = {-0.04};
  EXPECT_EQ(judged(all, nullptr).outcome, Outcome::pass);
  all[3].loss = {-0.06};
  EXPECT_EQ(judged(all, nullptr).outcome, Outcome::invalid);
}

TEST(ConnectorGrade, MatingsOfOneEndAreNotIndependent) {
  std::vector<Mating> all = matings(40, 0);
  for (Mating& each : all) each.cord = "C1";
  EXPECT_EQ(judged(all, nullptr).plugs, 1u);
  EXPECT_NE(judged(all, nullptr).reasons.back().find("not independent"), std::string::npos);
}

// SOURCE: closed forms: all of n within gives 0.05^(1/n); none gives 0. 19 of 20: 0.78389 (Clopper and
// Pearson, one-sided 95 %, root of 20 p^19 − 19 p^20 = 0.05).
TEST(ConnectorGrade, ProvenShare) {
  EXPECT_NEAR(proven_share(20, 20, 0.95), 0.86089, 1e-5);
  EXPECT_NEAR(proven_share(99, 99, 0.95), 0.97019, 1e-5);
  const double p = proven_share(19, 20, 0.95);
  EXPECT_NEAR(20 * std::pow(p, 19) - 19 * std::pow(p, 20), 0.05, 1e-8);
  EXPECT_EQ(proven_share(0, 5, 0.95), 0);
  EXPECT_EQ(matings_needed(0.97, 0.95), 99u);
}

}  // namespace
}  // namespace strandbook
