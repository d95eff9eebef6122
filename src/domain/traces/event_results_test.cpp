// When two marks are told as one cluster.

#include "domain/traces/event_results.hpp"

#include <gtest/gtest.h>

namespace strandbook {
namespace {

/// Straight fibre with two marks and `between` samples of it between them; pulses of eight samples.
TraceGround two_marks(std::size_t between) {
  constexpr std::size_t count = 400;
  TraceGround ground;
  ground.light.pulse = {8, 3};
  ground.light.step_km = 1e-3;
  ground.last = count;
  ground.prior = {0, 0.01};
  ground.level.assign(count, 0);
  ground.weight.assign(count, 1e4);
  ground.lines.take(ground.level, ground.weight, ground.light.step_km);
  ground.marks.resize(2);
  for (const SampleRange samples :
       {SampleRange{0, 100}, SampleRange{120, 120 + between}, SampleRange{140 + between, count}})
    ground.sections.push_back({samples, ground.lines.fit(samples, ground.prior)});
  return ground;
}

TEST(Clusters, StepWithinAPulseAndAHalfBehindAnEventIsOneWithIt) {
  EXPECT_TRUE(run_together(two_marks(10), 0, Behind::fibre));
  EXPECT_FALSE(run_together(two_marks(13), 0, Behind::fibre));
}

TEST(Clusters, PeakThereIsAnEventOfItsOwn) {
  TraceGround ground = two_marks(10);
  ground.marks[1].candidate.peak = true;
  EXPECT_FALSE(run_together(ground, 0, Behind::fibre));
}

TEST(Clusters, OfTheEndOnlyThePlaceIsAsked) { EXPECT_FALSE(run_together(two_marks(10), 0, Behind::end)); }

}  // namespace
}  // namespace strandbook
