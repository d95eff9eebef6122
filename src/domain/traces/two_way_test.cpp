#include "domain/traces/two_way.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "domain/traces/event_results.hpp"
#include "domain/traces/trace_and_meter.hpp"
#include "domain/traces/trace_place.hpp"

namespace strandbook {
namespace {

LinkEvent event_at(double position, double loss, EventKind kind = EventKind::loss) {
  return {kind, {position}, {position + 5}, Measured{loss, 0.01}, {}, false};
}

SpliceDemand demand_of(SpliceMeasure measure, double limit) {
  SpliceDemand demand;
  demand.measure = measure;
  demand.limit = {{limit}, {"job", "1", "", Standing::own, ""}};
  return demand;
}

// 12 km span, 20 m gate, 0.05 dB event threshold; mean limit 0.10 dB. Worked by hand from the two tables
// below.
class Gainers : public testing::Test {
 protected:
  const std::vector<LinkEvent> ab = {event_at(0, 0.21, EventKind::reflective),
                                     event_at(4010, -0.12, EventKind::gain), event_at(8025, 0.19),
                                     event_at(12000, 0.28, EventKind::reflective)};
  const std::vector<LinkEvent> ba = {event_at(0, 0.24, EventKind::reflective), event_at(1950, 0.09),
                                     event_at(3975, 0.03), event_at(7990, 0.26),
                                     event_at(12000, 0.31, EventKind::reflective)};
  const std::vector<TwoWayEvent> events = pair_directions(ab, ba, {{12000}, {20}, {0.05}, {0.05}});
};

TEST_F(Gainers, EventsAreMeansOfBothDirections) {
  ASSERT_EQ(events.size(), 5u);
  EXPECT_NEAR(events[0].mean->value, 0.26, 1e-9);
  EXPECT_NEAR(events[1].mean->value, 0.07, 1e-9);
  EXPECT_NEAR(events[2].mean->value, 0.11, 1e-9);
  EXPECT_NEAR(events[4].mean->value, 0.26, 1e-9);
  EXPECT_EQ(events[1].kind, EventKind::loss);
  EXPECT_NEAR(events[1].scatter->value, -0.19, 1e-9);
  EXPECT_NEAR(events[1].mean->standard_uncertainty, 0.01 / std::sqrt(2), 1e-9);
}

TEST_F(Gainers, WhatOneSideDoesNotShowIsBoundedNotZero) {
  const TwoWayEvent& lone = events[3];
  EXPECT_NEAR(lone.position.value, 10050, 1e-9);
  EXPECT_TRUE(lone.one_side_only());
  EXPECT_FALSE(lone.mean);
  EXPECT_NEAR(lone.mean_least->value, 0.02, 1e-9);
  EXPECT_NEAR(lone.mean_most->value, 0.07, 1e-9);
}

TEST_F(Gainers, MeansAreHeldAgainstTheOwnersMean) {
  const std::vector<SpliceDemand> demands = {demand_of(SpliceMeasure::two_way_mean, 0.10)};
  EXPECT_EQ(judge_splice(events[1], demands, {}).verdict, SpliceVerdict::within);
  EXPECT_EQ(judge_splice(events[2], demands, {}).verdict, SpliceVerdict::beyond);
  const JudgedSplice lone = judge_splice(events[3], demands, {});
  EXPECT_EQ(lone.verdict, SpliceVerdict::within);
  EXPECT_TRUE(lone.one_direction_only);
}

TEST_F(Gainers, RelaxedLimitAfterAttemptsAndOpenWhereBoundsDisagree) {
  SpliceDemand demand = demand_of(SpliceMeasure::two_way_mean, 0.10);
  demand.relaxed = RelaxedSplice{3, {{0.15}, {}}, "listed"};
  SpliceQuestion question;
  EXPECT_EQ(judge_splice(events[2], {demand}, question).verdict, SpliceVerdict::beyond);
  question.attempts = 3;
  EXPECT_EQ(judge_splice(events[2], {demand}, question).verdict, SpliceVerdict::relaxed);
  EXPECT_EQ(judge_splice(events[3], {demand_of(SpliceMeasure::two_way_mean, 0.05)}, {}).verdict,
            SpliceVerdict::open);
}

TEST(TwoWay, PublishedExamplesOfTheMean) {
  // SOURCE: teaching texts on two-way averaging: 0.20 and 0.10 give 0.15; −0.2 and 0.4 give 0.1; 0.2 and 0.8
  // give 0.5.
  for (const auto& [a, b, mean] :
       {std::array{0.20, 0.10, 0.15}, std::array{-0.2, 0.4, 0.1}, std::array{0.2, 0.8, 0.5}}) {
    const auto events =
        pair_directions({event_at(100, a)}, {event_at(900, b)}, {{1000}, {5}, {0.05}, {0.05}});
    EXPECT_NEAR(events.at(0).mean->value, mean, 1e-9);
  }
}

TEST(TwoWay, ModeFieldMismatchCancels) {
  // Fields of 9.2 and 8.6 µm: true loss −20·log10(2·w1·w2/(w1² + w2²)), step 10·log10(w2/w1) on a trace.
  const double loss = -20 * std::log10(2 * 9.2 * 8.6 / (9.2 * 9.2 + 8.6 * 8.6));
  const double step = 10 * std::log10(8.6 / 9.2);
  EXPECT_NEAR(loss, 0.020, 5e-4);
  EXPECT_NEAR(loss + step, -0.273, 5e-4);
  EXPECT_NEAR(loss - step, 0.313, 5e-4);
  const auto events =
      pair_directions({event_at(100, loss + step)}, {event_at(900, loss - step)}, {{1000}, {5}, {}, {}});
  EXPECT_NEAR(events.at(0).mean->value, loss, 1e-9);
  EXPECT_FALSE(events.at(0).explanation.empty());
}

RC_GTEST_PROP(TwoWayLaws, SwappingTheDirectionsTwiceChangesNothing, ()) {
  const auto some = [] {
    std::vector<LinkEvent> events;
    const auto places = *rc::gen::container<std::vector<int>>(5, rc::gen::inRange(0, 1000));
    for (const int place : places) events.push_back(event_at(place, *rc::gen::inRange(-300, 300) / 1000.0));
    return events;
  };
  const auto a = some();
  const auto b = some();
  const TwoWayQuestion question{{1000}, {20}, {0.05}, {0.04}};
  const auto there = pair_directions(a, b, question);
  RC_ASSERT(there.size() >= a.size());
  for (const TwoWayEvent& event : there) RC_ASSERT(event.from_a || event.from_b);
}

TEST(Reflectance, HeightsOfTheFormula) {
  // Worked from R = B + 10·log10 τ + 10·log10(10^(H/5) − 1) with B = −80 dB: −45 dB stands 12.5 dB high at 10
  // ns, 7.6 dB at 100 ns; −55 dB stands 7.6 and 3.1 dB.
  EXPECT_NEAR(reflectance_db(-80, 10, 12.5), -45, 0.1);
  EXPECT_NEAR(reflectance_db(-80, 100, 7.6), -45, 0.2);
  EXPECT_NEAR(reflectance_db(-80, 100, 3.1), -55, 0.2);
  EXPECT_NEAR(reflectance_db(-80, 1000, 0.60), -55, 0.1);
}

TEST(Bends, GrowWithTheWavelength) {
  EXPECT_TRUE(looks_bent({0.05, 0.01}, {0.30, 0.02}));
  EXPECT_FALSE(looks_bent({0.10, 0.01}, {0.12, 0.01}));
  EXPECT_FALSE(looks_bent({0.05, 0.2}, {0.30, 0.2}));
}

MeterAgreement agreement(double meter, double a, double b, int unseen) {
  MeterQuestion question;
  question.meter_loss = {meter};
  question.limit = Decibels{2.0};
  question.trace_a = Decibels{a};
  question.trace_b = Decibels{b};
  question.unseen_connections = unseen;
  return compare_with_meter(question);
}

TEST(TraceAndMeter, AgreeExplainedAndSuspect) {
  EXPECT_EQ(agreement(1.62, 1.41, 1.83, 0).agreement, Agreement::agree);
  const MeterAgreement hidden = agreement(1.60, 1.20, 1.22, 1);
  EXPECT_EQ(hidden.agreement, Agreement::unseen_connection);
  EXPECT_NEAR(hidden.difference->value, 0.39, 1e-9);
  const MeterAgreement suspect = agreement(2.10, 1.58, 1.64, 1);
  EXPECT_EQ(suspect.agreement, Agreement::suspect_connection);
  EXPECT_NE(suspect.advice.find("Inspect and clean"), std::string::npos);
  EXPECT_EQ(agreement(1.60, 1.20, 1.22, 0).agreement, Agreement::contradict);
}

// SOURCE: common practice: without cords the ends are not measured, and nothing is within the dead zone.
TEST(TracePlace, WithoutCordsTheEndsAndTheDeadZoneAreNotMeasured) {
  Trace trace;
  trace.settings.pulse_ns = 100;
  trace.settings.index = {1.468};
  TraceAnalysis analysis;
  TraceSection section;
  section.from = {12};
  section.to = {150};
  section.detectable = {0.02};
  analysis.sections.push_back(section);
  TraceLink link;
  link.blind = {12};
  link.length = {150};
  link.events.push_back({EventKind::loss, {62}, {70}, Measured{0.28, 0.01}, {}, false});
  const auto words = [&](double at) { return describe(look_at_place(trace, analysis, link, {at})); };
  EXPECT_EQ(words(0), "not measured: there is no launch cord");
  EXPECT_EQ(words(8), "not measured: within the dead zone of 12.0 m; a flat trace there proves nothing");
  EXPECT_EQ(words(61), "0.280 ± 0.020 dB (k = 2), loss at 62.0 m");
  EXPECT_EQ(words(120), "no step of 0.020 dB or more");
  EXPECT_EQ(words(150), "not measured: there is no receive cord");
  EXPECT_EQ(words(400), "not measured: there is no receive cord");
  link.far_end_measured = true;
  EXPECT_EQ(words(400), "not measured: the trace shows no fibre here");
  link.events[0].loss.reset();
  EXPECT_EQ(words(62), "loss at 62.0 m, whose loss cannot be told");
}

}  // namespace
}  // namespace strandbook
