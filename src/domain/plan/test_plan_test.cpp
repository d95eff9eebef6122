#include "domain/plan/test_plan.hpp"

#include <gtest/gtest.h>

namespace strandbook {
namespace {

DemandRow demand(FibreMode mode, std::vector<Nanometres> wavelengths, DirectionDemand directions) {
  return {mode, std::move(wavelengths), directions, {}};
}

/// A rule that wants one direction, and an owner who wants both on single-mode.
struct Ground {
  Rulebook rulebook;
  PlanSettings settings;
  Ground() {
    RuleSet rule;
    rule.id = "published";
    rule.demands = {demand(FibreMode::multimode, {{850}, {1300}}, DirectionDemand::either),
                    demand(FibreMode::single_mode, {{1310}}, DirectionDemand::either)};
    rulebook.push_back(rule);
    settings.rule = &rulebook.front();
    settings.demands = {demand(FibreMode::single_mode, {{1310}, {1550}}, DirectionDemand::both)};
  }
  StrandPlan plan(FibreCategory fibre) const {
    ScheduledStrand strand;
    strand.fibre = fibre;
    return *plan_of(strand, rulebook, settings);
  }
};

TEST(StrandPlan, TheOwnersDemandGoesBeforeTheRules) {
  const StrandPlan plan = Ground().plan(FibreCategory::os2);
  EXPECT_EQ(plan.wavelengths, (std::vector<Nanometres>{{1310}, {1550}}));
  EXPECT_EQ(plan.directions, DirectionDemand::both);
}

TEST(StrandPlan, AnOwnerWithoutADemandOnTheModeLeavesItToTheRule) {
  const StrandPlan plan = Ground().plan(FibreCategory::om4);
  EXPECT_EQ(plan.wavelengths, (std::vector<Nanometres>{{850}, {1300}}));
  EXPECT_EQ(plan.directions, DirectionDemand::either);
}

TEST(StrandPlan, WhatTheJobSettlesGoesBeforeTheOwnersDemand) {
  Ground ground;
  ground.settings.wavelengths = {{1550}};
  ground.settings.directions = DirectionDemand::either;
  const StrandPlan plan = ground.plan(FibreCategory::os2);
  EXPECT_EQ(plan.wavelengths, (std::vector<Nanometres>{{1550}}));
  EXPECT_EQ(plan.directions, DirectionDemand::either);
}

TEST(StrandPlan, TheOwnersDemandHoldsWithoutARule) {
  Ground ground;
  ground.settings.rule = nullptr;
  EXPECT_EQ(ground.plan(FibreCategory::os2).directions, DirectionDemand::both);
  EXPECT_TRUE(ground.plan(FibreCategory::om4).as_observed);
}

}  // namespace
}  // namespace strandbook
