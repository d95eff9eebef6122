// What once made a loss wrong by tenths of a decibel, or told events that are none.

#include <gtest/gtest.h>

#include <cmath>

#include "domain/traces/fibre_end.hpp"
#include "domain/traces/made_trace_for_tests.hpp"

namespace strandbook {
namespace {

using namespace made_trace;

TEST(GrossLoss, EndWithoutAPeakInALongTailTellsNoTail) {
  // The tail of the last connection keeps the place of the end alight: its fall is not the tail's.
  MadePlant plant{{{300, 0.25, -25}, {600, 0.2, -25}, {750, 0.3, -25}}};
  plant.end_m = 900;
  plant.end_reflectance_db = -99;
  plant.full_db = 12;
  plant.tail_share = 1e-3;
  plant.tail_m = 60;
  const auto events = on_the_fibre(analyse(trace_of(plant)));
  ASSERT_EQ(events.size(), 4u);
  for (std::size_t i = 0; i < 3; ++i) EXPECT_NEAR(events[i].loss->value, plant.joints[i].loss_db, 0.02);
}

TEST(GrossLoss, PeakThatAnotherCutsOffIsNoLightThatRises) {
  // The top of the first of two peaks is no fibre: the tail that was learnt stays taken off.
  MadePlant plant{{{600, 0.25, -25}, {1493, 0, -45}, {1497.5, 0.3, -22}}};
  plant.tail_share = 5e-4;
  plant.tail_m = 12;
  const auto events = on_the_fibre(analyse(trace_of(plant)));
  ASSERT_EQ(events.size(), 3u);
  EXPECT_NEAR(events[0].loss->value, 0.25, 0.01);
}

TEST(GrossLoss, TailPartThatExplainsNothingIsNotTaken) {
  // Two parts of nearly the same length run away from each other in the fit.
  MadePlant plant{{{200, 0.25, -20}, {500, 0.2, -20}}};
  plant.end_m = 2000;
  plant.tail_share = 2e-5;
  plant.tail_m = 10;
  plant.seed = 9;
  const auto events = on_the_fibre(analyse(trace_of(plant)));
  ASSERT_EQ(events.size(), 3u);
  for (std::size_t i = 0; i < 2; ++i) EXPECT_NEAR(events[i].loss->value, plant.joints[i].loss_db, 0.01);
}

TEST(GrossLoss, NoLineIsLaidThroughThePeaksOfAnUntoldEvent) {
  // The receiver's answers of two connections two pulses apart are all that lies between them.
  MadePlant plant{{{600, 0.25, -25}, {1493, 0, -35}, {1500, 0.3, -22}}};
  plant.tail_share = 5e-4;
  plant.tail_m = 12;
  for (const TraceEvent& event : on_the_fibre(analyse(trace_of(plant)))) {
    const double loss = event.loss ? event.loss->value : 0;
    EXPECT_LT(std::abs(loss), 1) << event.position.value;
  }
}

TEST(GrossLoss, SlowTailThatIsNotSeenBehindTheEndIsNone) {
  // The fibre loses more than fibres of this window do: over short stretches that looks like a slow tail.
  MadePlant plant{{{150, 0.25, -25}, {300, 0.2, -25}, {450, 0.3, -25}}};
  plant.end_m = 600;
  plant.end_reflectance_db = -45;
  plant.full_db = 12;
  plant.seed = 2;
  Trace trace = trace_of(plant);
  trace.settings.wavelength = {1550};
  const auto events = on_the_fibre(analyse(trace));
  ASSERT_EQ(events.size(), 4u);
  for (std::size_t i = 0; i < 3; ++i) EXPECT_NEAR(events[i].loss->value, plant.joints[i].loss_db, 0.005);
}

TEST(GrossLoss, LongFibreWithManyJointsIsNoTail) {
  // A joint in each stretch makes it fall faster than fibre does, but far slower than the slowest tail.
  MadePlant plant{{{500, 0.2, -45}}};
  for (double z = 2000; z < 17000; z += 2500) plant.joints.push_back({z, 0.4});
  plant.end_m = 18000;
  TraceGround ground;
  ground.light = linear_trace(trace_of(plant));
  ground.last = static_cast<std::size_t>(plant.end_m / step_m);
  ground.prior = {-0.35, 0.02};
  const Candidate peak{500 / step_m, static_cast<std::size_t>(530 / step_m), true, false, 100};
  EXPECT_EQ(dark_behind_peaks(ground, {peak}), ground.light.power.size());
}

TEST(GrossLoss, PeakAmongTheLastSamplesIsNoNoise) {
  MadePlant plant{{{600, 0.2, -45}, {1500, 0.3}}};
  plant.end_reflectance_db = -20;
  for (const double range : {1.01, 1.02, 1.03, 1.05}) {
    Trace trace = trace_of(plant);
    trace.level_db.resize(static_cast<std::size_t>(plant.end_m * range / step_m));
    const auto events = on_the_fibre(analyse(trace));
    ASSERT_EQ(events.size(), 3u) << range;
    EXPECT_NEAR(events[1].loss->value, 0.3, 0.01);
    EXPECT_NEAR(events[2].position.value, plant.end_m, 1);
  }
}

TEST(GrossLoss, SlowTailTooWeakToBeSeenIsReckonedWith) {
  // Behind full peaks it lifts the light by less than can be told from the fibre's slope.
  int within = 0;
  int told = 0;
  for (std::uint64_t seed = 1; seed <= 12; ++seed) {
    MadePlant plant{{{200, 0.25, -15}, {400, 0.2, -15}, {520, 0.3, -18}}};
    plant.end_m = 700;
    plant.full_db = 12;
    plant.range_db = 15;
    plant.tail_share = 2e-5;
    plant.tail_m = 60;
    plant.seed = seed;
    const auto events = on_the_fibre(analyse(trace_of(plant)));
    for (const TraceEvent& event : events)
      for (const MadeJoint& joint : plant.joints) {
        if (std::abs(event.position.value - joint.at_m) > 3 || !event.loss) continue;
        told += 1;
        const double off = event.loss->value - joint.loss_db;
        within += std::abs(off) < 1.96 * event.loss->standard_uncertainty ? 1 : 0;
      }
  }
  EXPECT_EQ(told, 36);
  EXPECT_GE(within, 32);
}

TEST(GrossLoss, SpliceInASlowTailIsSeen) {
  // The tail looks like twenty steps; taken off, it leaves one splice and no more.
  MadePlant plant{{{386, 0.46}, {786, 0.48, -15}, {1188, 0.14}, {1423, 0.5}, {1584, 0.29}}};
  plant.end_m = 2126;
  plant.tail_share = 5.8e-4;
  plant.tail_m = 114;
  const auto events = on_the_fibre(analyse(trace_of(plant)));
  ASSERT_EQ(events.size(), plant.joints.size() + 1);
  EXPECT_NEAR(events[2].loss.value_or(Measured{}).value, 0.14, 0.02);
}

TEST(GrossLoss, TailThatHoldsOnceIsNotGivenUpForASplice) {
  // Without the splices behind it the tail seems to explain all but the stretch in which they stand.
  MadePlant plant{{{859, 0.35}, {1405, 0.38, -17}, {1952, 0.33}, {2400, 0.16}, {2884, 0.38}}};
  plant.end_m = 3452;
  plant.tail_share = 2.1e-4;
  plant.tail_m = 136;
  const auto events = on_the_fibre(analyse(trace_of(plant)));
  ASSERT_EQ(events.size(), plant.joints.size() + 1);
  for (std::size_t i = 0; i < plant.joints.size(); ++i)
    EXPECT_NEAR(events[i].loss.value_or(Measured{}).value, plant.joints[i].loss_db, 0.01) << i;
}

TEST(GrossLoss, PeakShortlyBeforeAHigherOneIsSeenWhereItIs) {
  // 2.8 pulses: where the light behind the first should have fallen, the second stands.
  MadePlant plant{{{600, 0.2, -45}, {608.6, 0.2, -30}}};
  const auto events = on_the_fibre(analyse(trace_of(plant)));
  ASSERT_EQ(events.size(), 2u);
  EXPECT_NEAR(events[0].position.value, 600, 0.5);
}

TEST(GrossLoss, SmallSpliceBehindAStrongPeakIsNoTail) {
  // A tail that falls by as much would explain nearly as well what the splice takes.
  struct Case {
    std::vector<MadeJoint> joints;
    double end_m, range_db;
    std::uint64_t seed;
  };
  const std::vector<Case> cases{{{{204, 0.3, -16}, {352, 0.025}, {605, 0.2, -36}}, 774, 14, 26},
                                {{{325, 0.3, -19}, {399, 0.021}, {657, 0.2, -22}}, 808, 15, 38},
                                {{{152, 0.3, -20}, {217, 0.023}, {369, 0.2, -28}}, 541, 17, 114}};
  for (const Case& one : cases) {
    MadePlant plant{one.joints};
    plant.end_m = one.end_m;
    plant.range_db = one.range_db;
    plant.seed = one.seed;
    const auto events = on_the_fibre(analyse(trace_of(plant)));
    ASSERT_EQ(events.size(), 4u) << one.seed;
    for (std::size_t i = 0; i < 3; ++i) EXPECT_NEAR(events[i].loss->value, plant.joints[i].loss_db, 0.004);
  }
}

TEST(GrossLoss, SlowTailIsNotTakenForSteps) {
  // Behind two strong peaks it falls as a few steps would.
  for (const std::uint64_t seed : {1, 2, 3, 4}) {
    MadePlant plant{{{400, 0.25, -22}, {880, 0.2, -21}}};
    plant.end_m = 2000;
    plant.tail_share = 1e-3;
    plant.tail_m = 150;
    plant.range_db = 15;
    plant.seed = seed;
    const auto events = on_the_fibre(analyse(trace_of(plant)));
    ASSERT_EQ(events.size(), 3u) << seed;
    for (std::size_t i = 0; i < 2; ++i) EXPECT_NEAR(events[i].loss->value, plant.joints[i].loss_db, 0.01);
  }
}

}  // namespace
}  // namespace strandbook
