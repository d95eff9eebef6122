#include "domain/statistics/robust.hpp"

#include <gtest/gtest.h>

#include <array>

namespace strandbook {
namespace {

TEST(Robust, HuberLocation) {
  // SOURCE: printed test output of R's robustbase: 1 … 10 and 100, k = 1.5: 6.167169; median 6, MAD 4.4478.
  const std::array<double, 11> values{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 100};
  EXPECT_NEAR(huber_location(values, 1.5), 6.167169, 3e-6);
  std::array<double, 11> copy = values;
  const Centre centre = median_and_mad(copy);
  EXPECT_EQ(centre.location, 6);
  EXPECT_NEAR(centre.scale, 4.4478, 5e-5);
}

TEST(Robust, AlgorithmA) {
  // SOURCE: example data of ISO 5725-5; limit of the iteration 20.41214 and 1.06777 (computed with R 4.2.2),
  // the standard stops after four rounds.
  const std::array<double, 9> values{24.140, 20.155, 19.500, 20.300, 20.705, 17.570, 20.100, 20.940, 21.185};
  const Centre four = algorithm_a(values, 0, 4);
  EXPECT_NEAR(four.location, 20.4119, 5e-5);
  EXPECT_NEAR(four.scale, 1.0388, 1e-4);
  const Centre limit = algorithm_a(values, 1e-10);
  EXPECT_NEAR(limit.location, 20.41214, 5e-6);
  EXPECT_NEAR(limit.scale, 1.069840, 5e-6);
}

TEST(Robust, MedianOfEvenCountIsTheMeanOfTheMiddleTwo) {
  EXPECT_EQ(median(std::array<double, 4>{4, 1, 3, 2}), 2.5);
  EXPECT_EQ(median(std::array<double, 1>{4}), 4);
}

}  // namespace
}  // namespace strandbook
