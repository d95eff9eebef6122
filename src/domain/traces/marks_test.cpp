// Which step drives which out.

#include "domain/traces/marks.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace strandbook {
namespace {

/// Light of 1 that falls by a fiftieth at sample 500, with a smooth waver; pulses of eight samples.
TraceGround stepped_fibre() {
  TraceGround ground;
  ground.light.pulse = {8, 3};
  ground.light.step_km = 1e-3;
  ground.light.noise_density = 1e-5;
  ground.prior = {0, 0.1};
  ground.last = 1000;
  for (std::size_t k = 0; k < 1000; ++k) {
    const auto x = static_cast<double>(k);
    ground.light.power.push_back(1 - 0.02 * ground.light.pulse.step(x - 500) + 4e-4 * std::sin(x / 60));
  }
  ground.light.shown = ground.light.recorded = ground.light.power;
  set_search_levels(ground, {});
  return ground;
}

Candidate candidate_at(double start) {
  Candidate step;
  step.start = start;
  step.until = static_cast<std::size_t>(start) + 17;
  return step;
}

TEST(Marks, StepThatIsNoneDoesNotDriveItsNeighbourOut) {
  TraceGround ground = stepped_fibre();
  ground.marks = marks_of({candidate_at(500), candidate_at(640)});
  set_section_ends(ground);
  fit_marks(ground);
  EXPECT_EQ(ground.marks[1].edge.start, 640);
  while (drop_weak_step(ground)) refine_sections(ground, 1);
  ASSERT_EQ(ground.marks.size(), 1u);
  EXPECT_NEAR(ground.marks[0].edge.start, 500, 2);
}

}  // namespace
}  // namespace strandbook
