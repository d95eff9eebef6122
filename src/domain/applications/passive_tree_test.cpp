#include "domain/applications/passive_tree.hpp"

#include <gtest/gtest.h>

namespace strandbook {
namespace {

const RuleRef owner_source{"owner's specification", "1", "7", Standing::own, ""};

RuleSet access_rule() {
  RuleSet rule;
  rule.id = "own:access";
  rule.attenuation = {{FibreCategory::os2, Plant::unstated, {1310}, {0.4}, owner_source},
                      {FibreCategory::os2, Plant::unstated, {1490}, {0.3}, owner_source}};
  rule.connections = {{FibreMode::single_mode, ConnectionPlace::embedded, {}, {0.5}, owner_source},
                      {FibreMode::single_mode, ConnectionPlace::end, {}, {0.5}, owner_source}};
  rule.splices = {{FibreMode::single_mode, {0.1}, owner_source}};
  return rule;
}

const SplitterPractice practice{
    {{4, {7.0}, owner_source}, {8, {10.3}, owner_source}, {32, {17.0}, owner_source}}, {1.0}, owner_source};

TreePort port(std::vector<int> splitters) {
  TreePort at;
  at.name = "P1";
  at.splitters = std::move(splitters);
  at.fibre = FibreCategory::os2;
  at.length = Metres{5000};
  at.connections = 4;
  at.splices = 6;
  return at;
}

// SOURCE: 10·log10(N) for N = 2, 4, 8, 16, 32, 64, 128 as published tables print it.
TEST(PassiveTree, AnEvenSplitterLosesItsShare) {
  for (const auto& [outputs, printed] :
       {std::pair{2, 3.01}, {4, 6.02}, {8, 9.03}, {16, 12.04}, {32, 15.05}, {64, 18.06}, {128, 21.07}})
    EXPECT_NEAR(ideal_splitter_loss(outputs).value, printed, 0.005);
}

// 5 km × 0.4 + 4 × 0.5 + 6 × 0.1 = 4.6 dB, worked out by hand.
TEST(PassiveTree, TheLimitAddsEverySplitterOnTheWay) {
  const Result<Limit> one = limit_of(port({32}), access_rule(), practice, {1310}, ReferenceMethod::one_cord);
  ASSERT_TRUE(one);
  EXPECT_NEAR(one->value.value, 4.6 + 17.0, 1e-9);
  EXPECT_EQ(one->working.back().term, "splitter 1:32");
  const Result<Limit> two =
      limit_of(port({4, 8}), access_rule(), practice, {1490}, ReferenceMethod::one_cord);
  ASSERT_TRUE(two);
  EXPECT_NEAR(two->value.value, 4.1 + 17.3, 1e-9);
  EXPECT_NEAR(least_loss_of(port({4, 8})).value, 15.05, 0.005);
}

TEST(PassiveTree, AnUnknownSplitterIsSaid) {
  const Result<Limit> limit = limit_of(port({3}), access_rule(), practice, {1310}, ReferenceMethod::one_cord);
  ASSERT_FALSE(limit);
  EXPECT_EQ(limit.problem().found, "a splitter 1:3");
}

TEST(PassiveTree, ABadPortStandsOutAmongItsSiblings) {
  const SiblingView view = beside_siblings(
      {Decibels{-1.1}, Decibels{-0.9}, std::nullopt, Decibels{0.4}, Decibels{-1.0}}, practice);
  EXPECT_EQ(view.stands_out, (std::vector<bool>{false, false, false, true, false}));
  EXPECT_NEAR(view.beyond_median[3]->value, 1.35, 1e-9);
  EXPECT_FALSE(beside_siblings({Decibels{0}, Decibels{5}}, practice).stands_out[1]) << "two prove nothing";
}

}  // namespace
}  // namespace strandbook
