// The same data given to R with MASS and robustbase: independent code on our machine, every time.

#include <gtest/gtest.h>

#include <array>
#include <vector>

#include "domain/statistics/control_charts.hpp"
#include "domain/statistics/least_squares.hpp"
#include "domain/statistics/r_for_tests.hpp"
#include "domain/statistics/robust.hpp"

namespace strandbook {
namespace {

// SOURCE: Brownlee's stack-loss data, which ship with R.
Matrix stack_design() {
  const std::array<double, 21> air{80, 80, 75, 62, 62, 62, 62, 62, 58, 58, 58,
                                   58, 58, 58, 50, 50, 50, 50, 50, 56, 70};
  const std::array<double, 21> water{27, 27, 25, 24, 22, 23, 24, 24, 23, 18, 18,
                                     17, 18, 19, 18, 18, 19, 19, 20, 20, 20};
  const std::array<double, 21> acid{89, 88, 90, 87, 87, 87, 93, 93, 87, 80, 89,
                                    88, 82, 93, 89, 86, 72, 79, 80, 82, 91};
  Matrix x(21, 4);
  for (std::size_t r = 0; r < 21; ++r) {
    x.at(r, 0) = 1;
    x.at(r, 1) = air[r];
    x.at(r, 2) = water[r];
    x.at(r, 3) = acid[r];
  }
  return x;
}
const std::vector<double> stack_loss{42, 37, 37, 28, 18, 18, 19, 20, 15, 14, 14,
                                     13, 11, 12, 8,  7,  8,  8,  9,  15, 15};

void expect_same(const LinearFit& ours, const std::vector<double>& theirs) {
  ASSERT_EQ(theirs.size(), 5u);
  for (std::size_t c = 0; c < 4; ++c) EXPECT_NEAR(ours.coefficients[c] / theirs[c], 1, 1e-5) << c;
  EXPECT_NEAR(ours.residual_deviation / theirs[4], 1, 1e-4);
}

TEST(AgainstR, HuberRegression) {
  expect_same(
      *robust_fit(stack_design(), stack_loss, Psi::huber, 1.345),
      r_says("library(MASS); f <- rlm(stack.loss ~ ., stackloss, k = 1.345, maxit = 500, acc = 1e-12);"
             "cat(sprintf(\"%.12g\", c(coef(f), f$s)))"));
}

TEST(AgainstR, BisquareRegression) {
  expect_same(*robust_fit(stack_design(), stack_loss, Psi::bisquare, 4.685),
              r_says("library(MASS); f <- rlm(stack.loss ~ ., stackloss, psi = psi.bisquare, maxit = 500,"
                     " acc = 1e-12); cat(sprintf(\"%.12g\", c(coef(f), f$s)))"));
}

TEST(AgainstR, HuberLocationOfDrawnValues) {
  const std::vector<double> r = r_says(
      "library(robustbase); set.seed(3); x <- c(round(rgamma(40, 4.3, 36), 3), 0.9, 1.4);"
      "cat(x, sprintf(\"%.12g\", c(huberM(x, k = 1.345, tol = 1e-12)$mu, mad(x))))");
  ASSERT_EQ(r.size(), 44u);
  std::vector<double> values(r.begin(), r.end() - 2);
  // R rounds the factor of the MAD to 1.4826.
  EXPECT_NEAR(huber_location(values, 1.345), r[42], 1e-7);
  EXPECT_NEAR(median_and_mad(values).scale, r[43], 2e-7);
}

TEST(AgainstR, ChartsOfAnotherPackage) {
  const std::vector<double> r = r_says(
      "library(spc); cat(sprintf(\"%.12g\", c(xcusum.arl(0.75, 8, 0, sided = \"one\"),"
      " xcusum.arl(0.75, 8, 1.5, sided = \"one\"), xewma.arl(0.1, 2.8, 0.5, sided = \"two\"))))");
  ASSERT_EQ(r.size(), 3u);
  EXPECT_NEAR(one_sided_cusum_arl({0.75, 8, 0}, 0) / r[0], 1, 1e-5);
  EXPECT_NEAR(one_sided_cusum_arl({0.75, 8, 0}, 1.5) / r[1], 1, 1e-6);
  EXPECT_NEAR(ewma_arl({0.1, 2.8}, 0.5) / r[2], 1, 1e-6);
}

}  // namespace
}  // namespace strandbook
