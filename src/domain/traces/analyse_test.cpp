#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

#include "domain/traces/trace_analysis.hpp"
#include "domain/traces/trace_link.hpp"

namespace strandbook {
namespace {

struct MadeJoint {
  double at_m;
  double loss_db;
  double reflectance_db;  ///< 0 = none
};

constexpr double made_index = 1.468;
constexpr double made_pulse_ns = 30;

/// Fibre of 0.35 dB/km with joints, ended at `end_m`; 18 dB of dynamic range; a receiver of one pole.
Trace made_trace(const std::vector<MadeJoint>& joints, double end_m, unsigned seed = 1) {
  Trace trace;
  trace.settings.wavelength = {1310};
  trace.settings.pulse_ns = made_pulse_ns;
  trace.settings.index = {made_index};
  trace.settings.backscatter = Decibels{-80};
  trace.step = {0.5};
  const double pulse_m = shown_pulse_m(made_pulse_ns, trace.settings.index);
  const double unit = 1e-8 * made_pulse_ns;
  const double noise = std::pow(10, -18 / 5.0);
  std::mt19937 dice(seed);
  std::normal_distribution<double> normal;
  double held = 0;
  const double keep = std::exp(-2 * made_index * 0.5 / light_speed * 2 * 3.14159265 * 14e6);
  for (int k = 0; k * 0.5 < 1.4 * end_m; ++k) {
    const double z = k * 0.5;
    double shown = 0.00035 * z;
    double light = 0;
    for (const MadeJoint& joint : joints) {
      if (joint.reflectance_db < 0 && z >= joint.at_m && z < joint.at_m + pulse_m)
        light += std::pow(10, joint.reflectance_db / 10) / unit * std::pow(10, -0.4 * shown);
      shown += joint.loss_db * std::clamp((z - joint.at_m) / pulse_m, 0.0, 1.0);
    }
    light += std::pow(10, -shown / 5) * (1 - std::clamp((z - end_m) / pulse_m, 0.0, 1.0));
    if (z >= end_m && z < end_m + pulse_m) light += std::pow(10, -4.5) / unit * std::pow(10, -0.4 * shown);
    held = keep * held + (1 - keep) * light;
    trace.level_db.push_back(5 * std::log10(std::max(held + noise * normal(dice), 1e-5)));
  }
  return trace;
}

const TraceEvent* near(const TraceAnalysis& analysis, double at) {
  for (const TraceEvent& event : analysis.events)
    if (event.kind != EventKind::ghost && std::abs(event.position.value - at) < 3) return &event;
  return nullptr;
}

TEST(Analyse, FindsConnectionsSplicesGainsAndTheEnd) {
  const auto analysis =
      analyse(made_trace({{200, 0.30, -45}, {600, 0.10, 0}, {900, -0.12, 0}, {1200, 0.25, -48}}, 1400));
  EXPECT_EQ(analysis.end, EndState::found);
  EXPECT_NEAR(analysis.length.value, 1400, 1);
  const std::tuple<double, double, EventKind> wanted[] = {{200, 0.30, EventKind::reflective},
                                                          {600, 0.10, EventKind::loss},
                                                          {900, -0.12, EventKind::gain},
                                                          {1200, 0.25, EventKind::reflective}};
  for (const auto& [at, loss, kind] : wanted) {
    const TraceEvent* event = near(analysis, at);
    ASSERT_NE(event, nullptr) << at;
    EXPECT_EQ(event->kind, kind) << at;
    ASSERT_TRUE(event->loss) << at;
    EXPECT_NEAR(event->loss->value, loss, 0.02) << at;
    EXPECT_LT(event->loss->standard_uncertainty, 0.02) << at;
  }
  // R = B + 10·log10 τ + 10·log10(10^(H/5) − 1): the peak was made with −45 dB; the receiver takes a little.
  EXPECT_NEAR(near(analysis, 200)->reflectance->value, -45, 0.5);
}

TEST(Analyse, BareFibreHasNoEventsButItsEnd) {
  for (unsigned seed = 1; seed <= 5; ++seed) {
    const auto analysis = analyse(made_trace({}, 2000, seed));
    ASSERT_EQ(analysis.events.size(), 1u) << seed;
    EXPECT_EQ(analysis.events[0].kind, EventKind::end_of_fibre);
    EXPECT_FALSE(analysis.events[0].loss);
    EXPECT_NEAR(analysis.slope.value, 0.35, 0.02);
  }
}

TEST(Analyse, LossesLieWithinTheirUncertainties) {
  int inside = 0;
  constexpr int tries = 60;
  for (unsigned seed = 1; seed <= tries; ++seed) {
    const TraceEvent* event = nullptr;
    const auto analysis = analyse(made_trace({{700, 0.15, 0}}, 1500, seed));
    event = near(analysis, 700);
    ASSERT_NE(event, nullptr) << seed;
    inside += std::abs(event->loss->value - 0.15) <= 1.96 * event->loss->standard_uncertainty ? 1 : 0;
  }
  // 95 % of 60 are 57; below 50 has a chance of 2e-4.
  EXPECT_GE(inside, 50);
}

TEST(Analyse, CordsComeOffTheLink) {
  Trace trace = made_trace({{200, 0.30, -45}, {700, 0.10, 0}, {1200, 0.25, -48}}, 1400);
  trace.settings.launch = Metres{200};
  trace.settings.receive = Metres{200};
  const TraceLink link = link_of(trace, analyse(trace));
  EXPECT_TRUE(link.near_end_measured);
  EXPECT_TRUE(link.far_end_measured);
  EXPECT_NEAR(link.length.value, 1000, 1);
  ASSERT_TRUE(link.loss);
  EXPECT_NEAR(link.loss->value, 0.30 + 0.10 + 0.25 + 0.35, 0.04);
  trace.settings.receive.reset();
  EXPECT_FALSE(link_of(trace, analyse(trace)).far_end_measured);
}

TEST(Analyse, FibreBeyondTheRangeHasNoEnd) {
  Trace trace = made_trace({}, 2000);
  trace.level_db.resize(2000);
  EXPECT_EQ(analyse(trace).end, EndState::beyond_range);
}

TEST(Analyse, TooLittleIsSaid) {
  Trace trace;
  EXPECT_FALSE(analyse(trace).notes.empty());
  trace = made_trace({}, 500);
  trace.settings.pulse_ns = 0;
  EXPECT_FALSE(analyse(trace).notes.empty());
}

RC_GTEST_PROP(AnalyseLaws, AnySamplesAreSurvived, ()) {
  Trace trace = made_trace({}, 200);
  trace.level_db = *rc::gen::container<std::vector<double>>(
      rc::gen::map(rc::gen::inRange(-80000, 1000), [](int millis) { return millis * 1e-3; }));
  trace.step = {*rc::gen::inRange(1, 100) * 0.1};
  trace.settings.pulse_ns = *rc::gen::inRange(1, 20000);
  const TraceAnalysis analysis = analyse(trace);
  for (const TraceEvent& event : analysis.events) RC_ASSERT(std::isfinite(event.position.value));
}

}  // namespace
}  // namespace strandbook
