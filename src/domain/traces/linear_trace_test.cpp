// When a receiver is taken to have been full.

#include "domain/traces/linear_trace.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

namespace strandbook {
namespace {

/// A peak of forty samples behind a pole of fifteen, cut off at `full` times the light of the fibre before
/// the pole, as a detector is; it then takes six tenths of the pulse to recover.
LinearTrace with_a_peak(double height, double full) {
  constexpr std::size_t width = 40, start = 400;
  Trace trace;
  trace.settings.pulse_ns = 400;
  trace.settings.index = {1.468};
  trace.step = {shown_pulse_m(400, {1.468}) / width};
  double pole = 1;
  for (std::size_t k = 0; k < 1000; ++k) {
    const std::size_t last = start + width + (height > full ? width * 6 / 10 : 0);
    const double light = k >= start && k < last ? std::min(height, full) : 1;
    pole += (1 - std::exp(-1 / 15.0)) * (light - pole);
    trace.level_db.push_back(5 * std::log10(pole));
  }
  return linear_trace(trace);
}

TEST(LinearTrace, ReceiverThatWasFullForAQuarterOfAPulseIsSeen) {
  EXPECT_LT(with_a_peak(4000, 1000).saturation, 1000);
}

TEST(LinearTrace, PeakThatOnlyItsPoleRoundsIsNotFull) { EXPECT_GT(with_a_peak(900, 1000).saturation, 1e299); }

}  // namespace
}  // namespace strandbook
