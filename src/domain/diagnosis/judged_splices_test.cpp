#include "domain/diagnosis/judged_splices.hpp"

#include <gtest/gtest.h>

#include "domain/diagnosis/judged_traces_test_ground.hpp"

namespace strandbook {
namespace {

/// A limit of the two-way mean that is relaxed after three attempts.
// SOURCE: exhibit of a joint build, as rules/profiles/joint-build.json holds it: 0.10 dB two-way, after three
// attempts 0.20 dB, listed as out of specification.
SpliceDemand relaxed_demand() {
  SpliceDemand demand;
  demand.measure = SpliceMeasure::two_way_mean;
  demand.limit.value = {0.10};
  demand.relaxed = RelaxedSplice{3, {{0.20}, {}}, "listed as out of specification"};
  return demand;
}

/// One strand of 900 m traced from both ends at 1000 s, with steps at 300 and 600 m.
Assessment spliced_job(double at_300_db, double at_600_db) {
  Assessment all = job_of({0.9});
  for (const Direction direction : {Direction::a_to_b, Direction::b_to_a}) {
    HeldTrace trace = trace_of(direction, 0.9, {});
    trace.taken = Instant{1000};
    trace.seen.events = {splice_at(300, at_300_db), splice_at(600, at_600_db)};
    if (direction == Direction::b_to_a)
      trace.seen.events = {splice_at(300, at_600_db), splice_at(600, at_300_db)};
    put(all, 0, trace);
  }
  return all;
}

SpliceAttempt attempt_at(double metres, int attempt, std::int64_t seconds) {
  return {"U", "U1", {metres}, attempt, {}, Instant{seconds}, "crew 2"};
}

JudgedTraces judged(const Assessment& all, const std::vector<SpliceDemand>& demands) {
  return judge_traces(all, {{}, demands}).front();
}

TEST(JudgedSplices, TheRelaxedLimitHoldsFromTheThirdAttemptOnAndForThatSpliceOnly) {
  Assessment all = spliced_job(0.15, 0.15);
  all.records.splice_attempts = {attempt_at(304, 2, 500)};  // by the sheath's marks: some metres off
  EXPECT_EQ(judged(all, {relaxed_demand()}).splices[0].verdict, SpliceVerdict::beyond);
  all.records.splice_attempts.push_back(attempt_at(304, 3, 600));
  const JudgedTraces third = judged(all, {relaxed_demand()});
  EXPECT_EQ(third.splices[0].verdict, SpliceVerdict::relaxed);
  EXPECT_EQ(third.splices[0].attempts, 3);
  EXPECT_EQ(third.splices[1].verdict, SpliceVerdict::beyond);
  EXPECT_EQ(third.splices[1].attempts, 1);
  EXPECT_EQ(kinds_in(all, {{}, {relaxed_demand()}}),
            (std::vector<std::string>{"splice-beyond", "splice-relaxed"}));
}

TEST(JudgedSplices, ASpliceMadeAgainAfterItsTraceStaysOpen) {
  Assessment all = spliced_job(0.15, 0.02);
  all.records.splice_attempts = {attempt_at(300, 2, 2000)};
  const JudgedSplice splice = judged(all, {relaxed_demand()}).splices[0];
  EXPECT_EQ(splice.verdict, SpliceVerdict::open);
  EXPECT_TRUE(splice.made_again);
  EXPECT_EQ(splice.attempts, 2);
  EXPECT_EQ(kinds_in(all, {{}, {relaxed_demand()}}), std::vector<std::string>{"splice-untraced"});
  for (HeldTrace& trace : all.traces) trace.taken = Instant{3000};
  EXPECT_EQ(judged(all, {relaxed_demand()}).splices[0].verdict, SpliceVerdict::beyond);
}

TEST(JudgedSplices, AttemptsAreCountedAlsoWhereNoOwnerAsksForThem) {
  Assessment all = spliced_job(0.15, 0.02);
  EXPECT_TRUE(judged(all, {}).splices.empty());
  all.records.splice_attempts = {attempt_at(300, 2, 2000)};
  const JudgedSplice splice = judged(all, {}).splices[0];
  EXPECT_FALSE(splice.limit.has_value());
  EXPECT_EQ(splice.attempts, 2);
  EXPECT_EQ(kinds_in(all, {}), std::vector<std::string>{"splice-untraced"});
}

TEST(JudgedSplices, OneSideTracedAgainIsNotEnough) {
  Assessment all = spliced_job(0.15, 0.02);
  all.records.splice_attempts = {attempt_at(300, 2, 2000)};
  all.traces[0].taken = Instant{3000};
  EXPECT_TRUE(judged(all, {relaxed_demand()}).splices[0].made_again);
}

TEST(JudgedSplices, AnAttemptFarFromEveryJointCountsForNone) {
  Assessment all = spliced_job(0.15, 0.15);
  all.records.splice_attempts = {attempt_at(450, 3, 500)};
  for (const JudgedSplice& splice : judged(all, {relaxed_demand()}).splices) EXPECT_EQ(splice.attempts, 1);
}

TEST(JudgedSplices, AMechanicalSpliceIsHeldAgainstItsOwnLimitAlsoWhereItReflects) {
  Assessment all = spliced_job(0.15, 0.02);
  for (HeldTrace& trace : all.traces)
    for (LinkEvent& event : trace.seen.events)
      if (event.loss->value > 0.1) event.kind = EventKind::reflective;
  SpliceDemand fused;
  fused.method = SpliceMethod::fusion;
  fused.limit.value = {0.10};
  SpliceDemand mechanical;
  mechanical.method = SpliceMethod::mechanical;
  mechanical.limit.value = {0.30};
  EXPECT_EQ(judged(all, {fused, mechanical}).splices[0].reason, "not a splice");
  all.records.splice_attempts = {attempt_at(300, 1, 500)};
  all.records.splice_attempts.front().method = SpliceMethod::mechanical;
  const JudgedSplice splice = judged(all, {fused, mechanical}).splices[0];
  EXPECT_EQ(splice.verdict, SpliceVerdict::within);
  EXPECT_DOUBLE_EQ(splice.limit->limit.value.value, 0.30);
}

SpliceDemand span_demand(double limit_db) {
  SpliceDemand demand;
  demand.count = SpliceCount::span_mean;
  demand.measure = SpliceMeasure::two_way_mean;
  demand.limit.value = {limit_db};
  return demand;
}

// 0.15 and 0.05 dB have the mean 0.10 dB; with two more splices, too small to be seen, it is 0.05 dB at
// least.
TEST(JudgedSplices, TheMeanOfASpanCountsSplicesThatAreTooSmallToBeSeen) {
  Assessment all = spliced_job(0.15, 0.05);
  EXPECT_EQ(judged(all, {span_demand(0.10)}).span->verdict, SpliceVerdict::within);
  EXPECT_NEAR(judged(all, {span_demand(0.10)}).span->mean->value, 0.10, 1e-12);
  EXPECT_EQ(judged(all, {span_demand(0.08)}).span->verdict, SpliceVerdict::beyond);
  EXPECT_EQ(kinds_in(all, {{}, {span_demand(0.08)}}), std::vector<std::string>{"splice-span"});
  all.schedule[0].splices = 4;
  EXPECT_EQ(judged(all, {span_demand(0.08)}).span->verdict, SpliceVerdict::open);
  EXPECT_EQ(judged(all, {span_demand(0.04)}).span->verdict, SpliceVerdict::beyond);
  EXPECT_FALSE(judged(all, {relaxed_demand()}).span.has_value());
}

TEST(JudgedSplices, AnAttemptAtAStrandOfNoScheduleIsTold) {
  Assessment all = spliced_job(0.15, 0.05);
  all.records.splice_attempts = {attempt_at(300, 2, 500)};
  EXPECT_TRUE(unplaced_attempts(all).empty());
  all.records.splice_attempts.front().strand = "U9";
  ASSERT_EQ(unplaced_attempts(all).size(), 1U);
  EXPECT_NE(unplaced_attempts(all).front().found.find("U9"), std::string::npos);
}

TEST(JudgedSplices, TheOwnersGreatestRangeIsLookedAt) {
  Assessment all = spliced_job(0.02, 0.02);
  for (HeldTrace& trace : all.traces) trace.range = Metres{12000};
  OtdrDemand demand;
  demand.range_most = Sourced<Metres>{{10000}, {}};
  Suspects found;
  detect_traces(all, {demand, {}}, found);
  ASSERT_EQ(found.facts.size(), 1U);
  EXPECT_EQ(found.facts.front().kind, "trace-settings");
  EXPECT_NE(found.facts.front().summary.find("range 12000 m, at most 10000 m wanted"), std::string::npos);
  for (HeldTrace& trace : all.traces) trace.range = Metres{10000};
  EXPECT_TRUE(kinds_in(all, {demand, {}}).empty());
}

}  // namespace
}  // namespace strandbook
