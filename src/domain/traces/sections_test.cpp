#include <gtest/gtest.h>

#include "domain/traces/analysis_ground.hpp"

namespace strandbook {
namespace {

/// A straight fibre of a thousand samples, an echo of two pulses on it, then one pulse of fibre.
TraceGround with_echo_before_the_next(std::size_t echo_from, std::size_t echo_to) {
  constexpr std::size_t count = 1000;
  TraceGround ground;
  ground.light.pulse.width = 8;
  ground.light.step_km = 1e-3;
  ground.last = count;
  ground.prior = {-0.35, 0.1};
  for (std::size_t k = 0; k < count; ++k) {
    const double line = -0.35 * static_cast<double>(k) * ground.light.step_km;
    ground.level.push_back(line + (k >= echo_from && k < echo_to ? 0.05 : 0));
    ground.weight.push_back(1e4);
  }
  ground.lines.take(ground.level, ground.weight, ground.light.step_km);
  ground.sections.resize(1);
  return ground;
}

TEST(Sections, EchoShortlyBeforeTheNextEventBendsNoLine) {
  TraceGround ground = with_echo_before_the_next(974, 990);
  fit_sections(ground);
  EXPECT_LE(ground.sections[0].samples.last, 974u + 4);
  EXPECT_NEAR(ground.sections[0].line.at(1), -0.35, 0.003);
}

}  // namespace
}  // namespace strandbook
