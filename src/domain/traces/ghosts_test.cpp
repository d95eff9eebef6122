// Echoes of reflections that the trace does not show as they are.

#include <gtest/gtest.h>

#include "domain/traces/made_trace_for_tests.hpp"

namespace strandbook {
namespace {

using namespace made_trace;

/// Kinds of what stands within three metres of `at_m`.
std::vector<EventKind> kinds_near(const TraceAnalysis& found, double at_m) {
  std::vector<EventKind> kinds;
  for (const TraceEvent& event : found.events)
    if (std::abs(event.position.value - at_m) < 3) kinds.push_back(event.kind);
  return kinds;
}

TEST(Ghosts, EchoOfAConnectionHiddenBehindAnotherIsOne) {
  // 604 m there and back from the panel, twice; the connection at 604 m stands within the peak of the one
  // at 600 m.
  MadePlant plant{{{600, 0.25, -20}, {604, 0.2, -20}, {1208, 0, -75}}};
  EXPECT_EQ(kinds_near(analyse(trace_of(plant)), 1208), std::vector<EventKind>{EventKind::ghost});
}

TEST(Ghosts, ConnectionWhereAHiddenEchoWouldBeStaysOneByItsLoss) {
  MadePlant plant{{{600, 0.25, -20}, {604, 0.2, -20}, {1208, 0.1, -75}}};
  EXPECT_EQ(kinds_near(analyse(trace_of(plant)), 1208), std::vector<EventKind>{EventKind::reflective});
}

}  // namespace
}  // namespace strandbook
