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

TEST(Ghosts, LowEchoOfAHiddenConnectionIsOneThoughItsLossIsUnsure) {
  // The fibre ends nine pulses behind it, in noise: its loss is known to 0.014 dB.
  for (const double loss_db : {0.0, 0.15}) {
    MadePlant plant{{{600, 0.25, -20}, {604, 0.2, -20}, {1208, loss_db, -72}}};
    plant.end_m = 1235;
    plant.range_db = 9;
    EXPECT_EQ(kinds_near(analyse(trace_of(plant)), 1208),
              std::vector<EventKind>{loss_db > 0 ? EventKind::reflective : EventKind::ghost});
  }
}

TEST(Ghosts, PanelThatIsFullOnlyBehindItsPulseMayReflectAnything) {
  // The echo shows that the panel reflects -20 dB; what it shows itself would be -35 dB.
  Trace trace = trace_of({{{600, 0.25, -20}, {1200, 0, -61}}});
  trace.ceiling_db = 25;
  for (std::size_t k = 8; k < 12; ++k) trace.level_db[k] = trace.ceiling_db;
  EXPECT_EQ(kinds_near(analyse(trace), 1200), std::vector<EventKind>{EventKind::ghost});
}

TEST(Ghosts, EchoPartsNoFibre) {
  // 900 m: from 600 back to 300 and out again, three reflectances over the backscatter of a pulse.
  MadePlant plant{{{300, 0.25, -20}, {600, 0.2, -20}, {900, 0, -62.5}}};
  const TraceAnalysis found = analyse(trace_of(plant));
  EXPECT_EQ(kinds_near(found, 900), std::vector<EventKind>{EventKind::ghost});
  EXPECT_EQ(found.sections.size(), 3u);
  const auto events = on_the_fibre(found);
  ASSERT_EQ(events.size(), 3u);
  EXPECT_GT(static_cast<double>(events[1].after.last) * step_m, 2900);
}

TEST(Ghosts, ConnectionThatStandsWhereAnEchoWouldPartsTheFibre) {
  MadePlant plant{{{300, 0.25, -20}, {600, 0.2, -20}, {900, 0.05, -62.5}}};
  const TraceAnalysis found = analyse(trace_of(plant));
  EXPECT_EQ(kinds_near(found, 900), std::vector<EventKind>{EventKind::reflective});
  EXPECT_EQ(found.sections.size(), 4u);
}

TEST(Ghosts, EchoBesideASpliceIsOneAndTheSpliceStaysWhereItIs) {
  // 600 m: there and back from the panel, twice. The splice lies less than three pulses from it.
  for (const double splice : {592.0, 605.0, 608.0}) {
    MadePlant plant{{{300, 0.25, -20}, {600, 0, -72}, {splice, 0.15}}};
    if (splice < 600) std::swap(plant.joints[1], plant.joints[2]);
    const TraceAnalysis found = analyse(trace_of(plant));
    EXPECT_EQ(kinds_near(found, 600), std::vector<EventKind>{EventKind::ghost}) << splice;
    const auto events = on_the_fibre(found);
    ASSERT_EQ(events.size(), 3u) << splice;
    EXPECT_EQ(events[1].kind, EventKind::loss);
    EXPECT_NEAR(events[1].position.value, splice, 1);
    EXPECT_NEAR(events[1].loss->value, 0.15, 0.01);
  }
}

TEST(Ghosts, FullPeakIsNoEchoIfItLoses) {
  // Full receivers leave heights open: any full peak at the right place could be an echo of the others.
  Trace trace = trace_of({{{300, 0.25, -30}, {600, 0.2, -30}, {900, 0.05, -30}}});
  trace.ceiling_db = 7;
  for (double& level : trace.level_db) level = std::min(level, trace.ceiling_db);
  EXPECT_EQ(kinds_near(analyse(trace), 900), std::vector<EventKind>{EventKind::reflective});
}

}  // namespace
}  // namespace strandbook
