#include "domain/statistics/mixed_model.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace strandbook {
namespace {

// SOURCE: Davies and Goldsmith, Statistical Methods in Research and Production, table 6.4: six batches of
// dyestuff.
const std::vector<std::vector<double>> dyestuff{
    {1545, 1440, 1440, 1520, 1580}, {1540, 1555, 1490, 1560, 1495}, {1595, 1550, 1605, 1510, 1560},
    {1445, 1440, 1595, 1465, 1545}, {1595, 1630, 1515, 1635, 1625}, {1520, 1455, 1450, 1480, 1445}};

TEST(OneWay, SiliconResistivity) {
  // SOURCE: NIST StRD, SiRstv: F 1.18046237440255; between 0.0127865654, within 0.010831828.
  const OneWay result = one_way({{196.3052, 196.1240, 196.1890, 196.2569, 196.3403},
                                 {196.3042, 196.3825, 196.1669, 196.3257, 196.0422},
                                 {196.1303, 196.2005, 196.2889, 196.0343, 196.1811},
                                 {196.2795, 196.1748, 196.1494, 196.1485, 195.9885},
                                 {196.2119, 196.1051, 196.1850, 196.0052, 196.2090}});
  EXPECT_NEAR(result.f / 1.18046237440255, 1, 1e-10);
}

TEST(OneWay, ManyConstantLeadingDigits) {
  // SOURCE: NIST StRD, SmLs01, SmLs04 and SmLs07: F is 21 with 1, 7 and 13 constant leading digits.
  for (const auto& [origin, tolerance] : {std::pair{1.0, 1e-12}, {1e6, 1e-7}, {1e12, 0.05}}) {
    std::vector<std::vector<double>> groups(9, std::vector<double>(21));
    for (std::size_t g = 0; g < 9; ++g) {
      const double level = g == 0 ? 0.4 : (g % 2 == 1 ? 0.3 : 0.5);
      for (std::size_t i = 0; i < 21; ++i)
        groups[g][i] = origin + (i == 0 ? level : (i % 2 == 1 ? level - 0.1 : level + 0.1));
    }
    EXPECT_NEAR(one_way(groups).f / 21, 1, tolerance) << origin;
  }
}

TEST(OneWay, VarianceOfTheBatches) {
  // SOURCE: the same book: mean squares 11271.5 and 2451.25, variance between batches 1764.05, F 4.598, p
  // 0.0044.
  const OneWay result = one_way(dyestuff);
  EXPECT_NEAR(result.between, 11271.5, 1e-6);
  EXPECT_NEAR(result.within, 2451.25, 1e-6);
  EXPECT_NEAR(result.group_variance, 1764.05, 1e-6);
  EXPECT_NEAR(result.f, 4.598, 0.0006);
  EXPECT_NEAR(result.probability, 0.0044, 6e-5);
}

TEST(GroupFit, BatchEffectsShrinkAsPredicted) {
  // SOURCE: REML fit of the same data with R's nlme: mean 1527.5, its standard error 19.3834, batch A −22.5
  // shrinks to −17.607.
  std::vector<GroupRow> rows;
  for (std::size_t g = 0; g < dyestuff.size(); ++g)
    for (const double y : dyestuff[g]) rows.push_back({y, {1, 0, 0}, 2451.25, g});
  const std::array<PriorValue, 3> vague{{{0, 1e7}, {0, 1}, {0, 1}}};
  const auto fit = fit_groups(rows, 6, vague, std::sqrt(1764.05), 0);
  ASSERT_TRUE(fit);
  EXPECT_NEAR(fit->beta[0], 1527.5, 1e-3);
  EXPECT_NEAR(fit->beta_deviation[0], 19.3834, 1e-4);
  EXPECT_NEAR(fit->effects[0].value, -17.607, 1e-3);
}

TEST(GroupFit, WhatCannotBeToldApartKeepsItsWidth) {
  // One group and one kind of row: level and group effect are the same thing.
  std::vector<GroupRow> rows(50, {0.9, {1, 0, 0}, 0.0025, 0});
  const std::array<PriorValue, 3> priors{{{0.6, 0.2}, {0, 1}, {0, 1}}};
  const auto fit = fit_groups(rows, 1, priors, 0.3, 2);
  ASSERT_TRUE(fit);
  EXPECT_NEAR(fit->effects[0].value, 0.3 * 0.09 / (0.09 + 0.04), 0.01);
  EXPECT_GT(fit->effects[0].deviation, 0.15);
}

TEST(GroupFit, AWildRowIsHeldDown) {
  std::vector<GroupRow> rows;
  for (std::size_t i = 0; i < 20; ++i)
    rows.push_back({0.01 * (i % 2 == 0 ? 1.0 : -1.0), {1, 0, 0}, 0.0001, i % 4});
  rows.push_back({5, {1, 0, 0}, 0.0001, 0});
  const std::array<PriorValue, 3> priors{{{0, 1}, {0, 1}, {0, 1}}};
  EXPECT_LT(std::abs(fit_groups(rows, 4, priors, 0.1, 2)->effects[0].value), 0.02);
  EXPECT_GT(std::abs(fit_groups(rows, 4, priors, 0.1, 0)->effects[0].value), 0.1);
}

}  // namespace
}  // namespace strandbook
