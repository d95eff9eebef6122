#include "domain/statistics/pearson_three.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>

#include "domain/statistics/failure_count.hpp"
#include "domain/statistics/r_for_tests.hpp"

namespace strandbook {
namespace {

// SOURCE: IEC 61753-1 grades B and C: mean <= 0.12 (0.25) dB, 97 % <= 0.25 (0.50) dB; the gamma curve through
// them and the sums of n joints worked out with R 4.2.2 (qgamma).
TEST(PearsonThree, GammaThroughTheGrades) {
  const auto b = gamma_through(0.12, 0.25, 0.97);
  const auto c = gamma_through(0.25, 0.50, 0.97);
  ASSERT_TRUE(b && c);
  EXPECT_NEAR(b->shape, 4.2828, 5e-5);
  EXPECT_NEAR(b->scale, 0.02802, 5e-6);
  EXPECT_NEAR(c->shape, 4.9313, 5e-5);
  EXPECT_NEAR(c->scale, 0.05070, 5e-6);
  EXPECT_NEAR(std::sqrt(cumulants_of(*b).variance), 0.0580, 5e-5);
  EXPECT_NEAR(std::sqrt(cumulants_of(*c).variance), 0.1126, 5e-5);
}

struct JointRow {
  double joints, b97, c97, b999, c999;
};
TEST(PearsonThree, QuantilesOfSeveralJoints) {
  const Cumulants b = cumulants_of(*gamma_through(0.12, 0.25, 0.97));
  const Cumulants c = cumulants_of(*gamma_through(0.25, 0.50, 0.97));
  constexpr std::array rows = {JointRow{1, .250, .500, .380, .744}, JointRow{2, .416, .839, .574, 1.138},
                               JointRow{4, .721, 1.464, .919, 1.842}, JointRow{6, 1.010, 2.060, 1.240, 2.498},
                               JointRow{8, 1.291, 2.640, 1.547, 3.130}};
  for (const JointRow& row : rows) {
    EXPECT_NEAR(quantile(sum_of(row.joints, b), 0.97), row.b97, 6e-4) << row.joints;
    EXPECT_NEAR(quantile(sum_of(row.joints, c), 0.97), row.c97, 6e-4) << row.joints;
    EXPECT_NEAR(quantile(sum_of(row.joints, b), 0.999), row.b999, 6e-4) << row.joints;
    EXPECT_NEAR(quantile(sum_of(row.joints, c), 0.999), row.c999, 6e-4) << row.joints;
  }
}

/// Four connections of grade B, eight splices of mean 0.04 and deviation 0.03 dB, fibre 0.175 ± 0.010 dB.
Cumulants worked_link() {
  return sum_of(4, cumulants_of(*gamma_through(0.12, 0.25, 0.97))) +
         sum_of(8, cumulants_of(gamma_with(0.04, 0.03))) + normal_cumulants(0.175, 0.010);
}

// SOURCE: the same link drawn four million times (Monte Carlo) and Pearson III, both with R 4.2.2.
TEST(PearsonThree, UnlikePartsAsDrawn) {
  const Cumulants sum = worked_link();
  EXPECT_NEAR(sum.mean, 0.9750, 5e-5);
  EXPECT_NEAR(std::sqrt(sum.variance), 0.14405, 1e-5);
  EXPECT_NEAR(sum.third / std::pow(sum.variance, 1.5), 0.3606, 1e-4);
  EXPECT_NEAR(quantile(sum, 0.50), 0.9664, 1e-4);
  EXPECT_NEAR(quantile(sum, 0.97), 1.2670, 1e-4);
  EXPECT_NEAR(quantile(sum, 0.99), 1.3477, 1e-4);
  EXPECT_NEAR(quantile(sum, 0.999), 1.4949, 1e-4);
  EXPECT_NEAR(quantile(sum, 0.97), 1.2673, 1e-3);
  EXPECT_NEAR(quantile(sum, 0.999), 1.4953, 1e-3);
}

// The sum convolved numerically by R's package distr: no moments there, and none of our code.
TEST(PearsonThree, AgainstConvolutionInR) {
  const std::vector<double> r = r_says(
      "suppressMessages(library(distr)); k <- uniroot(function(k) qgamma(.97, k, scale = .12/k) - .25, c(1, "
      "50),"
      " tol = 1e-12)$root; X <- convpow(Gammad(shape = k, scale = .12/k), 4) +"
      " convpow(Gammad(shape = 16/9, scale = .0225), 8) + Norm(.175, .01);"
      " cat(sprintf(\"%.9g\", c(q(X)(c(.05, .5, .95, .99)), 1 - p(X)(1.2))))");
  ASSERT_EQ(r.size(), 5u);
  const Cumulants sum = worked_link();
  EXPECT_NEAR(quantile(sum, 0.05), r[0], 1e-3);
  EXPECT_NEAR(quantile(sum, 0.50), r[1], 1e-3);
  EXPECT_NEAR(quantile(sum, 0.95), r[2], 1e-3);
  EXPECT_NEAR(quantile(sum, 0.99), r[3], 1e-3);
  EXPECT_NEAR(upper_tail(sum, 1.2), r[4], 1e-3);
}

// The curve itself as R has it: a shifted gamma.
TEST(PearsonThree, CurveAgainstR) {
  const std::vector<double> r = r_says(
      "m <- 1; s <- .2; g <- .8; k <- 4/g^2; b <- s*g/2; x <- m - k*b;"
      "cat(sprintf(\"%.12g\", c(1 - pgamma((1.4 - x)/b, k), x + b*qgamma(.95, k), dgamma((1.1 - x)/b, "
      "k)/b)))");
  ASSERT_EQ(r.size(), 3u);
  const Cumulants sum{1, 0.04, 0.8 * 0.008};
  EXPECT_NEAR(upper_tail(sum, 1.4), r[0], 1e-10);
  EXPECT_NEAR(quantile(sum, 0.95), r[1], 1e-10);
  EXPECT_NEAR(density(sum, 1.1), r[2], 1e-9);
  const Cumulants mirrored{-1, 0.04, -0.8 * 0.008};
  EXPECT_NEAR(upper_tail(mirrored, -1.4), 1 - r[0], 1e-10);
  EXPECT_NEAR(quantile(mirrored, 0.05), -r[1], 1e-10);
  EXPECT_NEAR(density(mirrored, -1.1), r[2], 1e-9);
}

// SOURCE: a public planning worksheet of a single-mode link: means 2 × 0.35 + 2 × 0.15 + 0.8 × 0.21 + 0.5
// × 19.76 dB, variances 2 × 0.06 + 2 × 0.01 + 0.05 dB² (the sheet says 0.04, its own sum needs 0.05), 3 σ and
// 0.50 dB of reserve: 12.86 dB.
TEST(PearsonThree, PlanningWorksheet) {
  const Cumulants sum = sum_of(2, normal_cumulants(0.35, std::sqrt(0.06))) +
                        sum_of(2, normal_cumulants(0.15, std::sqrt(0.01))) +
                        normal_cumulants(0.8 * 0.21 + 0.5 * 19.76, std::sqrt(0.05));
  EXPECT_NEAR(sum.mean, 11.05, 5e-3);
  EXPECT_NEAR(quantile(sum, 0.998650102) + 0.50, 12.86, 5e-3);
}

TEST(PearsonThree, WhatHasNoSpreadOrNoCurve) {
  EXPECT_EQ(upper_tail({1, 0, 0}, 0.5), 1);
  EXPECT_EQ(upper_tail({1, 0, 0}, 1.0), 0);
  EXPECT_EQ(quantile(Cumulants{1, 0, 0}, 0.99), 1);
  EXPECT_FALSE(gamma_through(0.3, 0.3, 0.97));
  EXPECT_FALSE(gamma_through(0.1, 5, 0.97));
  EXPECT_FALSE(gamma_through(0, 0.3, 0.97));
}

// SOURCE: R: the number of failures among 12 whose readings share a deviation, by integrate() over it, as the
// probability that all twelve hold was worked out for N = 12, margin 0.12, own 0.05, shared 0.06: 0.7207 with
// the shared part and 0.4626 as if independent.
TEST(FailureCountOf, SharedPartKeepsTwelveTogether) {
  const AlikeGroup shared{12, normal_cumulants(0, 0.05), 0.06, 0.12};
  EXPECT_NEAR(failures_among(std::span(&shared, 1)).none, 0.7207, 1e-4);
  const AlikeGroup apart{12, normal_cumulants(0, std::hypot(0.05, 0.06)), 0, 0.12};
  EXPECT_NEAR(failures_among(std::span(&apart, 1)).none, 0.4626, 1e-4);
}

// R adds the Bernoullis up exactly (Poisson-binomial by convolution): 300 at 0.02 and 40 at 0.3.
TEST(FailureCountOf, AgainstExactConvolutionInR) {
  const std::vector<double> r = r_says(
      "d <- convolve(dbinom(0:300, 300, .02), rev(dbinom(0:40, 40, .3)), type = \"open\"); n <- 0:340;"
      "m <- sum(n*d); cat(sprintf(\"%.10g\", c(m, sqrt(sum(n^2*d) - m^2), min(n[cumsum(d) >= .025]),"
      " min(n[cumsum(d) >= .975]), d[1])))");
  ASSERT_EQ(r.size(), 5u);
  const std::vector<double> limit = r_says("cat(sprintf(\"%.15g\", qnorm(c(.98, .7))))");
  ASSERT_EQ(limit.size(), 2u);
  const std::array groups = {AlikeGroup{300, normal_cumulants(0, 1), 0, limit[0]},
                             AlikeGroup{40, normal_cumulants(0, 1), 0, limit[1]}};
  const FailureCount count = failures_among(groups);
  EXPECT_NEAR(count.expected, r[0], 1e-6);
  EXPECT_NEAR(count.deviation, r[1], 1e-6);
  EXPECT_EQ(count.low, static_cast<std::size_t>(r[2]));
  EXPECT_EQ(count.high, static_cast<std::size_t>(r[3]));
  EXPECT_NEAR(count.none / r[4], 1, 1e-6);
}

TEST(FailureCountOf, NothingAndCertainty) {
  EXPECT_EQ(failures_among({}).expected, 0);
  const AlikeGroup certain{7, {2, 0, 0}, 0, 1};
  const FailureCount all = failures_among(std::span(&certain, 1));
  EXPECT_NEAR(all.expected, 7, 1e-9);
  EXPECT_EQ(all.low, 7u);
  EXPECT_EQ(all.high, 7u);
}

}  // namespace
}  // namespace strandbook
