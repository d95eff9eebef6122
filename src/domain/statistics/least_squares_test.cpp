#include "domain/statistics/least_squares.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace strandbook {
namespace {

/// Digits that agree: −log10 of the relative difference.
double digits(double found, double certified) {
  if (found == certified) return 16;
  return -std::log10(std::abs(found - certified) / (certified == 0 ? 1 : std::abs(certified)));
}

Matrix powers(const std::vector<double>& x, std::size_t degree) {
  Matrix m(x.size(), degree + 1);
  for (std::size_t r = 0; r < x.size(); ++r) {
    double power = 1;
    for (std::size_t c = 0; c <= degree; ++c, power *= x[r]) m.at(r, c) = power;
  }
  return m;
}

// SOURCE of the certified values below: NIST Statistical Reference Datasets, linear regression.

TEST(LeastSquares, Norris) {
  const std::vector<double> y{0.1, 338.8, 118.1, 888.0, 9.2,   228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3,
                              0.1, 778.1, 668.8, 339.3, 448.9, 10.8,  557.7, 228.3, 998.0, 888.8, 119.6, 0.3,
                              0.6, 557.6, 339.3, 888.0, 998.5, 778.9, 10.2,  117.6, 228.9, 668.4, 449.2, 0.2};
  const std::vector<double> x{0.2, 337.4, 118.2, 884.6, 10.1,  226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4,
                              0.6, 775.5, 666.9, 338.0, 447.5, 11.6,  556.0, 228.1, 995.8, 887.6, 120.2, 0.3,
                              0.3, 556.8, 339.1, 887.2, 999.0, 779.0, 11.1,  118.3, 229.2, 669.1, 448.9, 0.5};
  const auto fit = least_squares(powers(x, 1), y);
  ASSERT_TRUE(fit);
  EXPECT_GE(digits(fit->coefficients[0], -0.262323073774029), 12);
  EXPECT_GE(digits(fit->coefficients[1], 1.00211681802045), 12);
  EXPECT_GE(digits(fit->standard_errors[0], 0.232818234301152), 12);
  EXPECT_GE(digits(fit->standard_errors[1], 4.29796848199937e-4), 12);
  EXPECT_GE(digits(fit->residual_deviation, 0.884796396144373), 12);
}

TEST(LeastSquares, NoIntercept) {
  Matrix one(11, 1);
  std::vector<double> y;
  for (std::size_t i = 0; i < 11; ++i) {
    one.at(i, 0) = 60 + static_cast<double>(i);
    y.push_back(130 + static_cast<double>(i));
  }
  const auto first = least_squares(one, y);
  EXPECT_GE(digits(first->coefficients[0], 2.07438016528926), 14);
  EXPECT_GE(digits(first->residual_deviation, 3.56753034006338), 13);
  Matrix two(3, 1);
  for (std::size_t i = 0; i < 3; ++i) two.at(i, 0) = 4 + static_cast<double>(i);
  const auto second = least_squares(two, std::array<double, 3>{3, 4, 4});
  EXPECT_GE(digits(second->coefficients[0], 0.727272727272727), 14);
}

TEST(LeastSquares, Longley) {
  const double rows[16][7] = {
      {60323, 83.0, 234289, 2356, 1590, 107608, 1947},  {61122, 88.5, 259426, 2325, 1456, 108632, 1948},
      {60171, 88.2, 258054, 3682, 1616, 109773, 1949},  {61187, 89.5, 284599, 3351, 1650, 110929, 1950},
      {63221, 96.2, 328975, 2099, 3099, 112075, 1951},  {63639, 98.1, 346999, 1932, 3594, 113270, 1952},
      {64989, 99.0, 365385, 1870, 3547, 115094, 1953},  {63761, 100.0, 363112, 3578, 3350, 116219, 1954},
      {66019, 101.2, 397469, 2904, 3048, 117388, 1955}, {67857, 104.6, 419180, 2822, 2857, 118734, 1956},
      {68169, 108.4, 442769, 2936, 2798, 120445, 1957}, {66513, 110.8, 444546, 4681, 2637, 121950, 1958},
      {68655, 112.6, 482704, 3813, 2552, 123366, 1959}, {69564, 114.2, 502601, 3931, 2514, 125368, 1960},
      {69331, 115.7, 518173, 4806, 2572, 127852, 1961}, {70551, 116.9, 554894, 4007, 2827, 130081, 1962}};
  Matrix x(16, 7);
  std::vector<double> y;
  for (std::size_t r = 0; r < 16; ++r) {
    y.push_back(rows[r][0]);
    x.at(r, 0) = 1;
    for (std::size_t c = 1; c < 7; ++c) x.at(r, c) = rows[r][c];
  }
  const auto fit = least_squares(x, y);
  ASSERT_TRUE(fit);
  const std::array<double, 7> certified{-3482258.63459582, 15.0618722713733,  -.0358191792925910,
                                        -2.02022980381683, -1.03322686717359, -.0511041056535807,
                                        1829.15146461355};
  for (std::size_t c = 0; c < 7; ++c) EXPECT_GE(digits(fit->coefficients[c], certified[c]), 10) << c;
  EXPECT_GE(digits(fit->residual_deviation, 304.854073561965), 10);
}

TEST(LeastSquares, Wampler) {
  std::vector<double> x(21);
  for (std::size_t i = 0; i < x.size(); ++i) x[i] = static_cast<double>(i);
  for (const double base : {1.0, 0.1}) {  // the first and the second of the five sets
    std::vector<double> y;
    for (const double each : x) {
      double sum = 0;
      for (int k = 0; k <= 5; ++k) sum += std::pow(base * each, k);
      y.push_back(sum);
    }
    const auto fit = least_squares(powers(x, 5), y);
    ASSERT_TRUE(fit);
    for (std::size_t k = 0; k <= 5; ++k)
      EXPECT_GE(digits(fit->coefficients[k], std::pow(base, static_cast<double>(k))), 9) << base << " " << k;
  }
}

// SOURCE: JCGM 100:2008, H.3 and H.3.6: drift of a thermometer's correction, and the same with an error that
// all readings share, which widens the intercept and leaves the slope alone.
TEST(LeastSquares, TheLineOfTheGuide) {
  const std::vector<double> t{21.521, 22.012, 22.512, 23.003, 23.507, 23.999,
                              24.513, 25.002, 25.503, 26.010, 26.511};
  const std::vector<double> b{-.171, -.169, -.166, -.159, -.164, -.165, -.156, -.157, -.159, -.161, -.160};
  std::vector<double> above(t);
  for (double& each : above) each -= 20;
  const auto fit = least_squares(powers(above, 1), b);
  EXPECT_NEAR(fit->coefficients[0], -0.1712, 5e-5);
  EXPECT_NEAR(fit->coefficients[1], 0.00218, 5e-6);
  EXPECT_NEAR(fit->standard_errors[0], 0.0029, 5e-5);
  EXPECT_NEAR(fit->standard_errors[1], 0.00067, 5e-6);
  EXPECT_NEAR(fit->residual_squares / 1.10096583e-4, 1, 1e-8);
  const double shared = 0.005;
  EXPECT_NEAR(std::hypot(fit->standard_errors[0], shared), 0.005769, 5e-6);
  EXPECT_NEAR(fit->standard_errors[1], 0.000668, 5e-7);
}

TEST(LeastSquares, ColumnsThatHangTogetherAreNotAnswered) {
  Matrix x(4, 2);
  for (std::size_t r = 0; r < 4; ++r) {
    x.at(r, 0) = 1;
    x.at(r, 1) = 2;
  }
  EXPECT_FALSE(least_squares(x, std::array<double, 4>{1, 2, 3, 4}));
}

}  // namespace
}  // namespace strandbook
