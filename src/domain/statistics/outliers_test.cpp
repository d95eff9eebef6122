#include "domain/statistics/outliers.hpp"

#include <gtest/gtest.h>

#include <array>

namespace strandbook {
namespace {

TEST(Outliers, RosnersExample) {
  // SOURCE: Rosner, Technometrics 25 (1983) 165, as printed in NIST/SEMATECH e-Handbook 1.3.5.17.3.
  const std::array<double, 54> values{-0.25, 0.68, 0.94, 1.15, 1.20, 1.26, 1.26, 1.34, 1.38, 1.43, 1.49,
                                      1.49,  1.55, 1.56, 1.58, 1.65, 1.69, 1.70, 1.76, 1.77, 1.81, 1.91,
                                      1.94,  1.96, 1.99, 2.06, 2.09, 2.10, 2.14, 2.15, 2.23, 2.24, 2.26,
                                      2.35,  2.37, 2.40, 2.47, 2.54, 2.62, 2.64, 2.90, 2.92, 2.92, 2.93,
                                      3.21,  3.26, 3.30, 3.59, 3.68, 4.30, 4.64, 5.34, 5.42, 6.01};
  const std::array<double, 10> r{3.118906, 2.942973, 3.179424, 2.810181, 2.815580,
                                 2.848172, 2.279327, 2.310366, 2.101581, 2.067178};
  const std::array<double, 10> critical{3.158794, 3.151430, 3.143890, 3.136165, 3.128247,
                                        3.120128, 3.111796, 3.103243, 3.094456, 3.085425};
  const EsdResult result = generalised_esd(values, 10, 0.05);
  ASSERT_EQ(result.steps.size(), 10u);
  for (std::size_t i = 0; i < 10; ++i) {
    EXPECT_NEAR(result.steps[i].statistic, r[i], 1e-6) << i;
    EXPECT_NEAR(result.steps[i].critical, critical[i], 1e-6) << i;
  }
  EXPECT_EQ(result.outliers, 3u);
  EXPECT_EQ(result.steps[0].index, 53u);
}

TEST(Outliers, GrubbsExample) {
  // SOURCE: NIST/SEMATECH e-Handbook 1.3.5.17.1: G = 2.4687, critical value 2.032 one-sided at 5 %.
  const std::array<double, 8> values{199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57};
  EXPECT_NEAR(grubbs_statistic(values, Sides::upper), 2.46876461, 1e-7);
  EXPECT_NEAR(grubbs_critical(8, 0.05, Sides::upper), 2.03165, 1e-5);
  EXPECT_NEAR(grubbs_critical(8, 0.05, Sides::both), 2.12665, 1e-5);
  // SOURCE: R 4.2.2, 8 * pt(t, 6, lower.tail = FALSE), the tail of the same page.
  EXPECT_NEAR(grubbs_probability(grubbs_statistic(values, Sides::upper), 8, Sides::upper) / 1.5013193e-7, 1,
              1e-6);
}

TEST(Outliers, GrubbsCriticalValues) {
  // SOURCE: published tables at 5 % for n = 3, 5, 10 (three decimals); n = 24, 144 computed with R 4.2.2.
  const std::array<std::size_t, 5> n{3, 5, 10, 24, 144};
  const std::array<double, 5> both{1.154, 1.715, 2.290, 2.802, 3.504};
  const std::array<double, 5> upper{1.153, 1.671, 2.176, 2.644, 3.330};
  for (std::size_t i = 0; i < n.size(); ++i) {
    EXPECT_NEAR(grubbs_critical(n[i], 0.05, Sides::both), both[i], 0.0011) << n[i];
    EXPECT_NEAR(grubbs_critical(n[i], 0.05, Sides::upper), upper[i], 0.0011) << n[i];
  }
}

}  // namespace
}  // namespace strandbook
