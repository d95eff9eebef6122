#include "domain/statistics/control_charts.hpp"

#include <gtest/gtest.h>

#include <array>

namespace strandbook {
namespace {

TEST(Charts, CusumRunLengths) {
  // SOURCE: published tables for k = 0.5, h = 4, two-sided, without and with head start h/2 (Lucas and
  // Crosier 1982), three digits.
  const std::array<double, 11> shifts{0, .25, .5, .75, 1, 1.5, 2, 2.5, 3, 4, 5};
  const std::array<double, 11> plain{168, 74.2, 26.6, 13.3, 8.38, 4.75, 3.34, 2.62, 2.19, 1.71, 1.31};
  const std::array<double, 11> fast{149, 62.7, 20.1, 8.97, 5.29, 2.86, 2.01, 1.59, 1.32, 1.07, 1.01};
  for (std::size_t i = 0; i < shifts.size(); ++i) {
    EXPECT_NEAR(cusum_arl({0.5, 4, 0}, shifts[i]) / plain[i], 1, 0.005) << shifts[i];
    EXPECT_NEAR(cusum_arl({0.5, 4, 2}, shifts[i]) / fast[i], 1, 0.005) << shifts[i];
  }
}

TEST(Charts, CusumRunLengthsOfTheHandbook) {
  // SOURCE: NIST/SEMATECH e-Handbook 6.3.2.3.1, k = 0.5, h = 5 (from memory, three digits).
  const std::array<double, 10> shifts{0, .25, .5, .75, 1, 1.5, 2, 2.5, 3, 4};
  const std::array<double, 10> expected{465, 140, 38.0, 17.0, 10.4, 5.75, 4.01, 3.11, 2.57, 2.01};
  for (std::size_t i = 0; i < shifts.size(); ++i)
    EXPECT_NEAR(cusum_arl({0.5, 5, 0}, shifts[i]) / expected[i], 1, 0.005) << shifts[i];
}

TEST(Charts, CusumToManyDigits) {
  // SOURCE: published program for k = 0.25, h = 8, shift 2.5: 4.1500836225, with head start 0.1 4.1061588131,
  // both sides 4.1500826715; another publication differs by 1e-6.
  EXPECT_NEAR(one_sided_cusum_arl({0.25, 8, 0}, 2.5), 4.1500836225, 2e-6);
  EXPECT_NEAR(one_sided_cusum_arl({0.25, 8, 0.1}, 2.5), 4.1061588131, 2e-6);
  EXPECT_NEAR(cusum_arl({0.25, 8, 0}, 2.5), 4.1500826715, 2e-6);
}

TEST(Charts, LimitForARunLength) { EXPECT_NEAR(cusum_limit_for(0.5, cusum_arl({0.5, 4, 0}, 0)), 4, 1e-5); }

TEST(Charts, EwmaRunLengths) {
  // SOURCE: published: weight 0.25, c = 3, shift 1: 11.154267016; weight 0.5, c = 3.071; weight 0.03, c
  // = 2.437.
  EXPECT_NEAR(ewma_arl({0.25, 3}, 1), 11.154267016, 1e-6);
  const std::array<double, 7> shifts{0, .25, .5, .75, 1, 1.5, 2};
  const std::array<double, 7> half{500, 255, 88.8, 35.9, 17.5, 6.53, 3.63};
  const std::array<double, 7> slow{500, 76.7, 29.3, 17.6, 12.6, 8.07, 5.99};
  for (std::size_t i = 0; i < shifts.size(); ++i) {
    EXPECT_NEAR(ewma_arl({0.5, 3.071}, shifts[i]) / half[i], 1, 0.005) << shifts[i];
    EXPECT_NEAR(ewma_arl({0.03, 2.437}, shifts[i]) / slow[i], 1, 0.005) << shifts[i];
  }
}

TEST(Charts, ShewhartRunLengths) {
  // SOURCE: 370.40, 43.89, 6.30, 2.00 at shifts of 0 to 3.
  EXPECT_NEAR(shewhart_arl(3, 0), 370.40, 0.005);
  EXPECT_NEAR(shewhart_arl(3, 1), 43.89, 0.005);
  EXPECT_NEAR(shewhart_arl(3, 2), 6.30, 0.005);
  EXPECT_NEAR(shewhart_arl(3, 3), 2.00, 0.005);
}

TEST(Charts, EwmaOfTheHandbook) {
  // SOURCE: NIST/SEMATECH e-Handbook 6.3.2.4: weight 0.3, target 50, s = 2.0539, no alarm.
  const std::array<double, 20> values{52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5,
                                      49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1};
  const std::array<double, 20> expected{50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33,
                                        50.11, 49.36, 49.52, 50.05, 49.38, 49.92, 50.73, 51.23, 51.94, 51.99};
  const std::vector<double> smoothed = ewma(values, 0.3, 50);
  for (std::size_t i = 0; i < expected.size(); ++i) EXPECT_NEAR(smoothed[i], expected[i], 0.0051) << i;
  EXPECT_NEAR(50 + 2.0539 * ewma_half_width({0.3, 3}, 1000), 52.5884, 6e-4);
  std::array<double, 20> z{};
  for (std::size_t i = 0; i < z.size(); ++i) z[i] = (values[i] - 50) / 2.0539;
  EXPECT_FALSE(ewma_alarm(z, {0.3, 3}));
}

TEST(Charts, CusumTellsWhereTheShiftBegan) {
  Cusum chart({0.5, 5, 0});
  for (int i = 0; i < 20; ++i) EXPECT_FALSE(chart.add(0));
  int needed = 0;
  while (!chart.add(2)) ++needed;
  EXPECT_EQ(needed, 3);
  EXPECT_EQ(chart.run(), 4u);
}

}  // namespace
}  // namespace strandbook
