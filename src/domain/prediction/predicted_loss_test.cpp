#include "domain/prediction/predicted_loss.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "domain/prediction/mend.hpp"
#include "domain/prediction/prediction_test_ground.hpp"
#include "domain/statistics/r_for_tests.hpp"

namespace strandbook {
namespace {

TEST(PredictedLossOf, MeansAddPartByPart) {
  const auto loss = predict_loss(test_design(), test_parts(), test_uncertainty());
  ASSERT_TRUE(loss);
  // 2 km × 0.34 + 2 ends × half of 0.25 + 2 embedded × 0.25 + 2 splices × 0.04
  EXPECT_NEAR(loss->total.mean, 0.68 + 0.25 + 0.50 + 0.08, 1e-9);
  EXPECT_NEAR(loss->uncertainty.value, std::hypot(0.05, 0.06), 1e-12);
  EXPECT_NEAR(loss->shared.value, std::hypot(0.06, 0.04), 1e-12);
  ASSERT_EQ(loss->parts.size(), 5u);
  EXPECT_EQ(loss->parts[1].term, "end connections");
  EXPECT_NEAR(loss->parts[1].mean.value, 0.25, 1e-9);
}

// The distribution of the whole reading, convolved numerically by R's package distr.
TEST(PredictedLossOf, DistributionAgainstConvolutionInR) {
  const auto loss = predict_loss(test_design(), test_parts(), test_uncertainty());
  ASSERT_TRUE(loss);
  const std::vector<double> r = r_says(
      "suppressMessages(library(distr)); k <- uniroot(function(k) qgamma(.97, k, scale = .25/k) - .5, c(1, "
      "50),"
      " tol = 1e-12)$root; C <- Gammad(shape = k, scale = .25/k); H <- Gammad(shape = k, scale = .125/k);"
      " S <- Gammad(shape = 16/9, scale = .0225);"
      " X <- convpow(C, 2) + convpow(H, 2) + convpow(S, 2) + Norm(.68, sqrt(.04^2 + .05^2 + .06^2));"
      " cat(sprintf(\"%.9g\", c(q(X)(c(.5, .95, .99)), p(X)(1.8))))");
  ASSERT_EQ(r.size(), 4u);
  EXPECT_NEAR(quantile(loss->total, 0.50), r[0], 1e-3);
  EXPECT_NEAR(quantile(loss->total, 0.95), r[1], 1e-3);
  EXPECT_NEAR(quantile(loss->total, 0.99), r[2], 2e-3);
  EXPECT_NEAR(1 - upper_tail(loss->total, 1.8), r[3], 1e-3);
}

TEST(PredictedLossOf, MethodSettlesWhatTheReadingHolds) {
  LinkDesign design = test_design();
  const double one = predict_loss(design, test_parts(), {})->total.mean;
  design.question.method = ReferenceMethod::two_cord;
  EXPECT_NEAR(predict_loss(design, test_parts(), {})->total.mean, one - 0.1, 1e-9);
  design.question.method = ReferenceMethod::three_cord;
  const auto three = predict_loss(design, test_parts(), {});
  EXPECT_NEAR(three->total.mean, one - 0.2, 1e-9);
  // What the reference held is uncertain too: it is taken away, its spread is not.
  EXPECT_GT(three->total.variance, predict_loss(test_design(), test_parts(), {})->total.variance);
}

TEST(PredictedLossOf, NothingIsGuessed) {
  LinkDesign design = test_design();
  design.question.connections.reset();
  EXPECT_FALSE(predict_loss(design, test_parts(), {}));
  design = test_design(1625);
  EXPECT_FALSE(predict_loss(design, test_parts(), {}));
  design = test_design(0);
  EXPECT_FALSE(predict_loss(design, test_parts(), {}));
  design = test_design();
  design.question.method.reset();
  const auto loss = predict_loss(design, test_parts(), {});
  ASSERT_TRUE(loss);
  EXPECT_EQ(loss->notes.size(), 1u);
}

struct MendGround {
  Schedule schedule;
  Rulebook rulebook;
  JudgeSettings settings;
  ComponentStatistics parts = test_parts();
  PredictionGround ground() { return {schedule, rulebook, settings, parts}; }
};

TEST(Mends, EachIsEnoughByItself) {
  MendGround given;
  given.settings.uncertainty = test_uncertainty();
  LinkDesign design = test_design();
  design.fixed = Decibels{1.7};
  const PredictionGround ground = given.ground();
  const DesignPrediction now = predict_design(design, ground);
  ASSERT_TRUE(now.predicted());
  ASSERT_LT(now.accepted, 0.95);
  const std::vector<Mend> mends = mends_of(now, ground, 0.95);
  ASSERT_GE(mends.size(), 3u);
  for (const Mend& mend : mends) EXPECT_GE(mend.accepted, 0.95) << mend.words;
  EXPECT_EQ(mends.front().kind, MendKind::better_connections);
  EXPECT_EQ(mends.front().grade, "B");
  EXPECT_EQ(mends.back().kind, MendKind::higher_limit);
  design.fixed = mends.back().limit;
  EXPECT_GE(predict_design(design, ground).accepted, 0.95);
}

TEST(Mends, NothingForWhatIsGoodEnough) {
  MendGround given;
  LinkDesign design = test_design();
  design.fixed = Decibels{5};
  const PredictionGround ground = given.ground();
  EXPECT_TRUE(mends_of(predict_design(design, ground), ground, 0.95).empty());
}

TEST(PredictedDesign, GuardBandCountsOnlyWhereTheOwnerRefuses) {
  MendGround given;
  given.settings.uncertainty = test_uncertainty();
  given.settings.guard = GuardBand::expanded_uncertainty;
  PredictionGround ground = given.ground();
  const DesignPrediction taken = predict_design(test_design(), ground);
  ground.conditional_pass = Acceptance::refused;
  const DesignPrediction refused = predict_design(test_design(), ground);
  EXPECT_EQ(taken.accepted, taken.within);
  EXPECT_EQ(refused.accepted, taken.clear);
  EXPECT_LT(refused.accepted, taken.accepted);
  EXPECT_NEAR((taken.accepted_up_to - refused.accepted_up_to).value, 2 * std::hypot(0.05, 0.06), 1e-12);
}

}  // namespace
}  // namespace strandbook
