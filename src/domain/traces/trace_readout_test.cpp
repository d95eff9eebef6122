#include "domain/traces/trace_readout.hpp"

#include <gtest/gtest.h>

namespace strandbook {
namespace {

Trace trace_of(std::vector<double> levels) {
  Trace trace;
  trace.first = {10};
  trace.step = {2};
  trace.level_db = std::move(levels);
  return trace;
}

// SOURCE: worked by hand. x = 0, 2, 4, 6 m; y = 0, −1, −1, −4: the line falls by 0.6 dB/m, so 600 dB/km; the
// residuals are −0.3, −0.1, 1.1, −0.7 about it, their squares sum to 1.8, so s = sqrt(1.8 / 2) = 0.9487 and
// u(slope) = s / sqrt(20) = 0.2121 dB/m. R: summary(lm(c(0,-1,-1,-4) ~ c(0,2,4,6))) gives the same.
TEST(Readout, TheLineIsThatOfLeastSquares) {
  const TraceReadout read = readout(trace_of({0, -1, -1, -4}), {16}, {10});
  ASSERT_TRUE(read.attenuation.has_value());
  EXPECT_NEAR(read.attenuation->value, 600, 1e-9);
  EXPECT_NEAR(read.attenuation->standard_uncertainty, 212.132, 1e-3);
  EXPECT_NEAR(read.line_loss->value, 3.6, 1e-12);
  EXPECT_NEAR(read.residual->value, 0.948683, 1e-6);
  EXPECT_NEAR(read.two_point.value, 4, 1e-12);
  EXPECT_EQ(read.samples, 4U);
  EXPECT_NEAR(read.from.value, 10, 1e-12);
  EXPECT_NEAR(read.to.value, 16, 1e-12);
}

TEST(Readout, ClippedSamplesAndThoseWithoutLightAreLeftOut) {
  Trace trace = trace_of({0, 9, -2, -99, -4});
  trace.ceiling_db = 9;
  trace.floor_db = -99;
  const TraceReadout read = readout(trace, {0}, {1000});
  EXPECT_EQ(read.samples, 3U);
  EXPECT_NEAR(read.attenuation->value, 500, 1e-9);
  EXPECT_NEAR(read.residual->value, 0, 1e-9);
}

TEST(Readout, TwoSamplesMakeNoLine) {
  const TraceReadout read = readout(trace_of({0, -1, -1}), {10}, {12});
  EXPECT_FALSE(read.attenuation.has_value());
  EXPECT_NEAR(read.two_point.value, 1, 1e-12);
}

}  // namespace
}  // namespace strandbook
