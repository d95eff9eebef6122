#include "domain/statistics/tails.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <utility>

namespace strandbook {
namespace {

TEST(Tails, OneSidedNormalQuantilesOfTheGuide) {
  // SOURCE: JCGM 106:2012, table 1 (from memory) and Eurachem factors 1.64 and 2.33.
  EXPECT_NEAR(normal_upper_quantile(0.05), 1.64, 0.006);
  EXPECT_NEAR(normal_upper_quantile(0.01), 2.33, 0.006);
  EXPECT_NEAR(normal_upper_quantile(0.001), 3.09, 0.006);
  EXPECT_NEAR(normal_upper_tail(normal_upper_quantile(1e-12)) / 1e-12, 1, 1e-9);
}

TEST(Tails, StudentQuantilesOfTheGuide) {
  // SOURCE: JCGM 100:2008, table G.2, 95.45 % (from memory).
  const double two_sided = (1 - 0.9545) / 2;
  EXPECT_NEAR(student_upper_quantile(two_sided, 1), 13.97, 0.03);
  EXPECT_NEAR(student_upper_quantile(two_sided, 5), 2.65, 0.005);
  EXPECT_NEAR(student_upper_quantile(two_sided, 50), 2.05, 0.005);
}

TEST(Tails, AcceptanceSampling) {
  // SOURCE: acceptance of the plan (200, 7) at 6.4 % defective is 0.054, and of (52, 3) at 1 and 12 % 0.998
  // and 0.115: public vignette on MIL-STD-105E, and NIST/SEMATECH e-Handbook 6.2.3.2 (from memory).
  EXPECT_NEAR(1 - binomial_upper_tail(8, 200, 0.064), 0.054, 5e-4);
  EXPECT_NEAR(1 - binomial_upper_tail(4, 52, 0.01), 0.998, 5e-4);
  EXPECT_NEAR(1 - binomial_upper_tail(4, 52, 0.12), 0.115, 5e-4);
}

TEST(Tails, DrawingWithoutPuttingBack) {
  // SOURCE: N = 100, n = 10, no defective found, D = 1, 5, 20: 0.9000, 0.5838, 0.0951 (computed with
  // R 4.2.2).
  for (const auto& [marked, expected] : {std::pair{1U, 0.9000}, {5U, 0.5838}, {20U, 0.0951}})
    EXPECT_NEAR(1 - hypergeometric_upper_tail(1, {100, marked, 10}), expected, 5e-5);
  EXPECT_EQ(hypergeometric_upper_tail(0, {100, 5, 10}), 1);
  EXPECT_EQ(hypergeometric_upper_tail(6, {100, 5, 10}), 0);
  EXPECT_EQ(hypergeometric_upper_tail(5, {10, 5, 10}), 1);
}

TEST(Tails, SkewedDeviates) {
  EXPECT_EQ(wilson_hilferty_deviate(2.5, 0), 2.5);
  // SOURCE: gamma(4.2828, 0.02802) has mean 0.12, standard deviation 0.058 and 97 % quantile 0.25; z = 1.881.
  EXPECT_NEAR(wilson_hilferty_deviate((0.25 - 0.12) / 0.058, 2 / std::sqrt(4.2828)), 1.881, 0.01);
}

}  // namespace
}  // namespace strandbook
