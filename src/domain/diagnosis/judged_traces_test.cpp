#include "domain/diagnosis/judged_traces.hpp"

#include <gtest/gtest.h>

#include "domain/diagnosis/judged_traces_test_ground.hpp"

namespace strandbook {
namespace {

// SOURCE: worked case of three strands: U1 agrees by the mean of both ways; U2 lacks what a far connection
// loses; U3 lacks the same and fails by meter, so that connection is the likely culprit. The meter decides.
TEST(JudgedTraces, TheMeterDecidesAndTheTraceExplains) {
  Assessment all = job_of({1.62, 1.60, 2.10});
  put(all, 0, trace_of(Direction::a_to_b, 1.41, {}));
  put(all, 0, trace_of(Direction::b_to_a, 1.83, {}));
  put(all, 1, trace_of(Direction::a_to_b, 1.20, {.receive = false}));
  put(all, 1, trace_of(Direction::b_to_a, 1.22, {.receive = false}));
  put(all, 2, trace_of(Direction::a_to_b, 1.58, {.receive = false}));
  put(all, 2, trace_of(Direction::b_to_a, 1.64, {.receive = false}));
  const std::vector<JudgedTraces> judged = judge_traces(all, {});
  ASSERT_EQ(judged.size(), 3U);
  EXPECT_EQ(judged[0].agreement.agreement, Agreement::agree);
  EXPECT_NEAR(judged[0].seen.loss->value, 1.62, 1e-9);
  EXPECT_EQ(judged[1].agreement.agreement, Agreement::unseen_connection);
  EXPECT_NEAR(judged[1].agreement.difference->value, 0.39, 1e-9);
  EXPECT_EQ(judged[2].agreement.agreement, Agreement::suspect_connection);
  EXPECT_NEAR(judged[2].agreement.difference->value, 0.49, 1e-9);
  EXPECT_EQ(all.tests[2].outcome, Outcome::fail);
  EXPECT_EQ(kinds_in(all, {}), std::vector<std::string>{"trace-connection"});
}

TEST(JudgedTraces, BeyondTheCombinedUncertaintyTheyContradict) {
  Assessment all = job_of({1.95, 1.95});
  put(all, 0, trace_of(Direction::a_to_b, 1.41, {}));
  put(all, 0, trace_of(Direction::b_to_a, 1.41, {}));
  put(all, 1, trace_of(Direction::a_to_b, 1.41, {}));
  put(all, 1, trace_of(Direction::b_to_a, 1.41, {}));
  all.tests[1].standard_uncertainty = {0.3};  // 2·0.3 dB is more than the 0.54 dB between them
  const std::vector<JudgedTraces> judged = judge_traces(all, {});
  EXPECT_EQ(judged[0].agreement.agreement, Agreement::contradict);
  EXPECT_EQ(judged[1].agreement.agreement, Agreement::agree);
}

// SOURCE: worked case: without cords both end connections are not measured, and the trace does not meet an
// owner's text that wants them judged.
TEST(JudgedTraces, WithoutCordsTheEndsAreNotMeasured) {
  Assessment all = job_of({0.9, 0.9});
  put(all, 0, trace_of(Direction::a_to_b, 0.5, {.launch = false, .receive = false}));
  put(all, 1, trace_of(Direction::a_to_b, 0.9, {}));
  const std::vector<JudgedTraces> judged = judge_traces(all, {});
  EXPECT_FALSE(judged[0].near_end_measured || judged[0].far_end_measured);
  EXPECT_TRUE(judged[1].near_end_measured && judged[1].far_end_measured);
  EXPECT_EQ(kinds_in(all, {}), std::vector<std::string>{"trace-ends"});
}

TEST(JudgedTraces, ALaunchCordAtEachEndMeasuresBothEnds) {
  Assessment all = job_of({0.9});
  put(all, 0, trace_of(Direction::a_to_b, 0.9, {.receive = false}));
  put(all, 0, trace_of(Direction::b_to_a, 0.9, {.receive = false}));
  const JudgedTraces judged = judge_traces(all, {}).front();
  EXPECT_TRUE(judged.near_end_measured && judged.far_end_measured);
}

TEST(JudgedTraces, TheLatestTraceOfASideCounts) {
  Assessment all = job_of({0.9});
  put(all, 0, trace_of(Direction::a_to_b, 0.9, {}));
  put(all, 0, trace_of(Direction::a_to_b, 1.5, {}));
  all.traces[0].taken = Instant{200};
  all.traces[1].taken = Instant{100};
  EXPECT_EQ(judge_traces(all, {}).front().from_a, 0U);
}

TEST(JudgedTraces, ALengthThatIsNotTheSchedulesIsTold) {
  Assessment all = job_of({0.9});
  HeldTrace trace = trace_of(Direction::a_to_b, 0.9, {});
  trace.seen.length = {1200};
  put(all, 0, trace);
  EXPECT_EQ(kinds_in(all, {}), std::vector<std::string>{"trace-length"});
}

// SOURCE: worked case of gainers: 4010 m −0.12 and +0.26 are 0.07 dB; 8025 m 0.19 and 0.03 are 0.11 dB,
// beyond 0.10; 10 050 m is seen from B only (0.09) and lies within 0.02 to 0.07 dB, within 0.10.
TEST(JudgedTraces, SplicesAreJudgedByTheMeanOfBothDirections) {
  Assessment all = job_of({1.5});
  all.schedule[0].length = Metres{12000};
  HeldTrace a = trace_of(Direction::a_to_b, 1.5, {});
  HeldTrace b = trace_of(Direction::b_to_a, 1.5, {});
  a.seen.length = b.seen.length = {12000};
  a.pulse_ns = b.pulse_ns = 200;
  a.seen.events = {splice_at(4010, -0.12), splice_at(8025, 0.19)};
  b.seen.events = {splice_at(1950, 0.09), splice_at(3975, 0.03), splice_at(7990, 0.26)};
  put(all, 0, a);
  put(all, 0, b);
  SpliceDemand demand;
  demand.measure = SpliceMeasure::two_way_mean;
  demand.limit.value = {0.10};
  const JudgedTraces judged = judge_traces(all, {{}, {demand}}).front();
  ASSERT_EQ(judged.seen.events.size(), 3U);
  EXPECT_NEAR(judged.seen.events[0].mean->value, 0.07, 1e-9);
  EXPECT_EQ(judged.splices[0].verdict, SpliceVerdict::within);
  EXPECT_NEAR(judged.seen.events[1].mean->value, 0.11, 1e-9);
  EXPECT_EQ(judged.splices[1].verdict, SpliceVerdict::beyond);
  EXPECT_FALSE(judged.seen.events[2].mean.has_value());
  EXPECT_NEAR(judged.seen.events[2].mean_least->value, 0.02, 1e-9);
  EXPECT_NEAR(judged.seen.events[2].mean_most->value, 0.07, 1e-9);
  EXPECT_EQ(judged.splices[2].verdict, SpliceVerdict::within);
  EXPECT_EQ(kinds_in(all, {{}, {demand}}), std::vector<std::string>{"splice-beyond"});
}

HeldTrace with_steps(double nm, std::vector<LinkEvent> events) {
  HeldTrace trace = trace_of(Direction::a_to_b, 0.9, {});
  trace.wavelength = {nm};
  trace.seen.events = std::move(events);
  return trace;
}

// SOURCE: common practice: a bend loses far more at 1550 nm than at 1310 nm, a splice about the same at both.
TEST(JudgedTraces, AStepThatLosesFarMoreAtTheLongerWavelengthIsABend) {
  Assessment all = job_of({0.9, 0.9});
  put(all, 0, with_steps(1310, {splice_at(300, 0.10), splice_at(600, 0.06)}));
  put(all, 0, with_steps(1550, {splice_at(301, 0.12), splice_at(450, 0.35), splice_at(600, 0.50)}));
  put(all, 1, with_steps(1550, {splice_at(600, 0.50)}));
  const std::vector<JudgedTraces> judged = judge_traces(all, {});
  ASSERT_EQ(judged.size(), 3U);
  EXPECT_EQ(judged[0].seen.events[1].kind, EventKind::loss);
  EXPECT_EQ(judged[1].seen.events[0].kind, EventKind::loss);
  EXPECT_EQ(judged[1].seen.events[1].kind, EventKind::bend) << "the shorter wavelength would have shown it";
  EXPECT_EQ(judged[1].seen.events[2].kind, EventKind::bend);
  EXPECT_EQ(judged[2].seen.events[0].kind, EventKind::loss) << "nothing to hold it against";
  EXPECT_EQ(kinds_in(all, {}), std::vector<std::string>{"trace-bend"});
}

TEST(JudgedTraces, AtMultimodeWavelengthsNothingIsCalledABend) {
  Assessment all = job_of({0.9});
  put(all, 0, with_steps(850, {splice_at(300, 0.10)}));
  put(all, 0, with_steps(1300, {splice_at(300, 0.50)}));
  EXPECT_EQ(judge_traces(all, {})[1].seen.events[0].kind, EventKind::loss);
}

TEST(JudgedTraces, WhatTheOwnerDemandsIsMissing) {
  Assessment all = job_of({0.9, 0.9});
  put(all, 0, trace_of(Direction::a_to_b, 0.9, {}));
  put(all, 0, trace_of(Direction::b_to_a, 0.9, {}));
  TraceDemands demands;
  demands.otdr.emplace();
  demands.otdr->directions = Sourced<DirectionDemand>{DirectionDemand::both, {}};
  Suspects found;
  detect_traces(all, demands, found);
  ASSERT_EQ(found.facts.size(), 1U);
  EXPECT_EQ(found.facts[0].kind, "trace-missing");
  EXPECT_EQ(found.facts[0].tests, std::vector<std::uint32_t>{1});
}

}  // namespace
}  // namespace strandbook
