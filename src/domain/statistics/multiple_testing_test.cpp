#include "domain/statistics/multiple_testing.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>

namespace strandbook {
namespace {

TEST(MultipleTesting, ExampleOfTheAuthors) {
  // SOURCE: Benjamini and Hochberg 1995, section 4.2: four of fifteen rejected at q = 0.05, Bonferroni three.
  const std::array<double, 15> p{.0001, .0004, .0019, .0095, .0201, .0278, .0298, .0344,
                                 .0459, .3240, .4262, .5719, .6528, .7590, 1};
  const std::array<double, 15> expected{.0015, .003, .0095,   .035625, .0603,   .063857, .063857, .0645,
                                        .0765, .486, .581182, .714875, .753231, .813214, 1};
  const std::vector<double> adjusted = benjamini_hochberg(p, p.size());
  for (std::size_t i = 0; i < p.size(); ++i) EXPECT_NEAR(adjusted[i], expected[i], 1e-6) << i;
  EXPECT_EQ(std::count_if(adjusted.begin(), adjusted.end(), [](double a) { return a <= 0.05; }), 4);
}

TEST(MultipleTesting, ThoseNotGivenCountAsOne) {
  const std::array<double, 2> p{.0001, .02};
  const std::vector<double> adjusted = benjamini_hochberg(p, 15);
  EXPECT_NEAR(adjusted[0], .0015, 1e-12);
  EXPECT_NEAR(adjusted[1], .15, 1e-12);
}

}  // namespace
}  // namespace strandbook
