#include "domain/verdict/outcome.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace strandbook {
namespace {

struct Row {
  double loss, limit, u;
  GuardBand guard;
  Outcome outcome;
};

// SOURCE: four-state rule of ILAC-G8:09/2019, 4.2.3. Limit 1.50, U = 0.15 (k = 2): acceptance 1.35,
// rejection 1.65.
TEST(Outcome, FourStatesAroundTheLimit) {
  constexpr auto guarded = GuardBand::expanded_uncertainty;
  for (const Row& row :
       {Row{1.20, 1.5, 0.075, guarded, Outcome::pass}, Row{1.35, 1.5, 0.075, guarded, Outcome::pass},
        Row{1.42, 1.5, 0.075, guarded, Outcome::conditional_pass},
        Row{1.50, 1.5, 0.075, guarded, Outcome::conditional_pass},
        Row{1.58, 1.5, 0.075, guarded, Outcome::conditional_fail},
        Row{1.65, 1.5, 0.075, guarded, Outcome::conditional_fail},
        Row{1.80, 1.5, 0.075, guarded, Outcome::fail}, Row{1.50, 1.5, 0.075, GuardBand::none, Outcome::pass},
        Row{1.58, 1.5, 0.075, GuardBand::none, Outcome::fail}})
    EXPECT_EQ(decide({row.loss}, {row.limit}, {row.u}, row.guard), row.outcome) << row.loss;
}

// SOURCE: JCGM 106:2012 single-limit example, (T − y)/u = 1.4 gives 0.92 (printed), 0.91924 recomputed; from
// memory.
TEST(Outcome, ConformanceProbabilityOfTheGuide) {
  EXPECT_NEAR(conformance_probability({-5.47}, {-5.40}, {0.05}), 0.91924, 1e-5);
}

// SOURCE: normal distribution, recomputed with scipy.stats.norm.cdf; limit 1.80, u 0.08.
TEST(Outcome, ConformanceProbabilityNearALimit) {
  const double expected[][2] = {{1.60, .99379}, {1.64, .97725}, {1.70, .89435}, {1.80, .5},
                                {1.90, .10565}, {1.96, .02275}, {2.00, .00621}};
  for (const auto& [loss, p] : expected)
    EXPECT_NEAR(conformance_probability({loss}, {1.80}, {0.08}), p, 5e-6);
}

// SOURCE: ILAC-G8:09/2019, table of guard bands: w = 0, 0.83 U, U, 1.5 U, 3 U leave a risk at the acceptance
// limit below 50 %, 5 %, 2.5 %, 0.16 %, 1 ppm; exact values Φ(−2r) recomputed.
TEST(Outcome, RiskAtTheAcceptanceLimit) {
  const double expected[][2] = {{0, 0.5}, {0.83, 0.04846}, {1, 0.02275}, {1.5, 0.001350}, {3, 9.87e-10}};
  for (const auto& [r, risk] : expected) {
    const Decibels at_acceptance{1.5 - r * 0.15};
    EXPECT_NEAR(1 - conformance_probability(at_acceptance, {1.5}, {0.075}), risk, risk * 2e-3);
  }
}

TEST(Outcome, WithoutUncertaintyTheProbabilityIsCertain) {
  EXPECT_EQ(conformance_probability({1.5}, {1.5}, {0}), 1);
  EXPECT_EQ(conformance_probability({1.51}, {1.5}, {0}), 0);
}

RC_GTEST_PROP(Outcome, MoreLossIsNeverBetter, ()) {
  const Decibels less{*rc::gen::inRange(0, 3000) / 1000.0};
  const Decibels more{less.value + *rc::gen::inRange(0, 1000) / 1000.0};
  const Decibels u{*rc::gen::inRange(0, 300) / 1000.0};
  const auto guard = *rc::gen::element(GuardBand::none, GuardBand::expanded_uncertainty);
  RC_ASSERT(decide(less, {1.5}, u, guard) <= decide(more, {1.5}, u, guard));
  RC_ASSERT(conformance_probability(less, {1.5}, u) >= conformance_probability(more, {1.5}, u));
}

RC_GTEST_PROP(Outcome, WithoutGuardBandThereIsOnlyPassAndFail, ()) {
  const Decibels loss{*rc::gen::inRange(0, 3000) / 1000.0};
  const auto outcome = decide(loss, {1.5}, {0.1}, GuardBand::none);
  RC_ASSERT(outcome == Outcome::pass || outcome == Outcome::fail);
}

TEST(Outcome, TheOwnerTakesWhatTheDecisionRuleSays) {
  DecisionRule decision;
  EXPECT_TRUE(accepted(Outcome::pass, decision));
  EXPECT_TRUE(accepted(Outcome::conditional_pass, decision));
  EXPECT_FALSE(accepted(Outcome::conditional_fail, decision));
  decision.conditional_pass = Acceptance::refused;
  decision.conditional_fail = Acceptance::accepted;
  EXPECT_FALSE(accepted(Outcome::conditional_pass, decision));
  EXPECT_TRUE(accepted(Outcome::conditional_fail, decision));
  for (const Outcome never : {Outcome::fail, Outcome::not_tested, Outcome::invalid})
    EXPECT_FALSE(accepted(never, decision));
}

}  // namespace
}  // namespace strandbook
