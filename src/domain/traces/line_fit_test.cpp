#include "domain/traces/line_fit.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace strandbook {
namespace {

// y = (3.1, 2.9, 2.4, 2.2, 1.6), x = 0, 1, 2, 3, 4 km. SOURCE: R 4.2, lm(y ~ x): intercept 3.18, slope −0.37;
// with unit variance the slope's variance is 1/10.
TEST(LineFit, AgreesWithLeastSquaresOfR) {
  const LineSums lines({3.1, 2.9, 2.4, 2.2, 1.6}, {1, 1, 1, 1, 1}, 1);
  const Line line = lines.fit({0, 5}, {0, 1e6});
  EXPECT_NEAR(line.slope, -0.37, 1e-9);
  EXPECT_NEAR(line.at(0), 3.18, 1e-9);
  EXPECT_NEAR(line.slope_variance, 0.1, 1e-9);
  EXPECT_NEAR(line.variance_at(2), 0.2, 1e-9);
  // Residuals of R: −0.08, 0.09, −0.04, 0.13, −0.10; their squares sum to 0.043.
  EXPECT_NEAR(line.misfit, 0.043, 1e-9);
}

TEST(LineFit, ExtrapolatedToTheEdgeTheErrorIsTheKnownOne) {
  // Free slopes, 100 samples a side, no gap: sd of the difference at the edge is σ·sqrt(8/N) for large N.
  const std::size_t n = 100;
  const LineSums lines(std::vector<double>(2 * n), std::vector<double>(2 * n, 1.0), 0.001);
  const double edge = 0.0995;
  const double sd = std::sqrt(lines.fit({0, n}, {0, 1e9}).variance_at(edge) +
                              lines.fit({n, 2 * n}, {0, 1e9}).variance_at(edge));
  EXPECT_NEAR(sd, std::sqrt(8.0 / n), 0.002);
  const double known = std::sqrt(lines.fit({0, n}, {0, 1e-9}).variance_at(edge) +
                                 lines.fit({n, 2 * n}, {0, 1e-9}).variance_at(edge));
  EXPECT_NEAR(known, std::sqrt(2.0 / n), 1e-6);
}

TEST(LineFit, EmptyAndWeightlessStretchesKnowNothing) {
  const LineSums lines({1, 2, 3}, {0, 0, 0}, 1);
  EXPECT_GT(lines.fit({0, 3}, {0, 1}).level_variance, 1e9);
  EXPECT_GT(lines.fit({2, 2}, {0, 1}).level_variance, 1e9);
}

}  // namespace
}  // namespace strandbook
