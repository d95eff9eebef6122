#include "domain/review/compare_jobs.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "domain/review/audit.hpp"

namespace strandbook {
namespace {

constexpr double own = 0.05;
constexpr double shared = 0.06;

RecordedTest recorded(int strand, double loss, const char* reference, Outcome outcome = Outcome::pass) {
  RecordedTest test;
  test.link = "L";
  test.strand = std::to_string(strand);
  test.wavelength = {1310};
  test.direction = Direction::a_to_b;
  test.loss = Decibels{loss};
  test.uncertainty = {std::hypot(own, shared)};
  test.shared = {shared};
  test.limit = Decibels{1.5};
  test.outcome = outcome;
  test.reference = reference;
  return test;
}

/// Small, fixed differences between strands, so that nothing is drawn.
double wobble(int strand) { return 0.02 * ((strand * 7) % 5 - 2); }

RecordedJob job_with(int strands, double offset, const char* reference) {
  RecordedJob job;
  for (int i = 1; i <= strands; ++i) job.tests.push_back(recorded(i, 0.8 + wobble(i) + offset, reference));
  return job;
}

TEST(CompareJobs, NothingChanged) {
  const Comparison all = compare_jobs(job_with(24, 0, "R1"), job_with(24, 0, "R2"), {});
  EXPECT_EQ(all.compared, 24u);
  EXPECT_TRUE(all.changed.empty());
  ASSERT_EQ(all.moves.size(), 1u);
  EXPECT_FALSE(all.moves[0].beyond);
}

// A reference that is off by 0.1 dB moves every strand; it is no change of any strand, and it hides none.
TEST(CompareJobs, SharedMoveIsNoChangeAndHidesNone) {
  RecordedJob after = job_with(24, 0.10, "R2");
  *after.tests[6].loss += Decibels{0.35};
  const Comparison all = compare_jobs(job_with(24, 0, "R1"), after, {});
  ASSERT_EQ(all.changed.size(), 1u);
  EXPECT_EQ(all.changed[0], 6u);
  EXPECT_NEAR(all.pairs[6].apart.value, 0.35, 1e-6);
  EXPECT_NEAR(all.pairs[6].apart_uncertainty.value, own * std::sqrt(2.0) * std::sqrt(1 + 1.0 / 24), 1e-9);
  EXPECT_NEAR(all.moves[0].move.value, 0.10, 1e-3);
  EXPECT_FALSE(all.moves[0].beyond);  // 0.1 dB within 2 × 0.06 × √2
}

// Averaging over strands never removes what they share: u of the move stays above √2 · 0.06.
TEST(CompareJobs, MoveBeyondTheSharedUncertainty) {
  const Comparison all = compare_jobs(job_with(144, 0, "R1"), job_with(144, 0.4, "R2"), {});
  EXPECT_TRUE(all.moves[0].beyond);
  EXPECT_GT(all.moves[0].uncertainty.value, shared * std::sqrt(2.0));
  EXPECT_LT(all.moves[0].uncertainty.value, shared * std::sqrt(2.0) * 1.01);
  EXPECT_TRUE(all.changed.empty());
}

TEST(CompareJobs, SmallGroupKeepsTheWholeUncertainty) {
  const Comparison all = compare_jobs(job_with(3, 0, "R1"), job_with(3, 0.15, "R2"), {});
  EXPECT_FALSE(all.moves[0].settled);
  EXPECT_NEAR(all.pairs[0].apart.value, 0.15, 1e-9);
  EXPECT_NEAR(all.pairs[0].apart_uncertainty.value, std::hypot(own, shared) * std::sqrt(2.0), 1e-9);
  EXPECT_TRUE(all.changed.empty());
}

TEST(CompareJobs, StrandsAndOutcomes) {
  RecordedJob before = job_with(3, 0, "R1");
  RecordedJob after = job_with(3, 0, "R2");
  before.tests[0].strand = "old";
  after.tests[0].strand = "new";
  after.tests[1].outcome = Outcome::fail;
  const Comparison all = compare_jobs(before, after, {});
  EXPECT_EQ(all.gone_strands, std::vector<std::string>{"L/old"});
  EXPECT_EQ(all.new_strands, std::vector<std::string>{"L/new"});
  EXPECT_EQ(all.only_before, std::vector<std::uint32_t>{0});
  EXPECT_EQ(all.only_after, std::vector<std::uint32_t>{0});
  ASSERT_EQ(all.outcomes.size(), 1u);
  EXPECT_EQ(all.pairs[all.outcomes[0]].before, 1u);
}

TEST(CompareJobs, OneReadingInBothIsNotMeasuredTwice) {
  RecordedJob before = job_with(2, 0, "R1");
  before.tests[0].time = "2026-05-04T10:00:00Z";
  RecordedJob after = before;
  const Comparison all = compare_jobs(before, after, {});
  EXPECT_TRUE(all.pairs[0].same_reading);
  EXPECT_EQ(all.compared, 1u);
}

AuditQuestion question(const RecordedJob& recorded_job, const RecordedJob& measured,
                       const std::vector<UnitName>& drawn) {
  return {recorded_job, measured, drawn, SampleUnit::strand, {static_cast<std::uint32_t>(drawn.size()), 0},
          40,           0.95};
}

TEST(Audit, ConfirmedRecordIsAccepted) {
  const RecordedJob record = job_with(40, 0, "R1");
  const RecordedJob again = job_with(40, 0.02, "R2");
  const std::vector<UnitName> drawn = {{"L", "3"}, {"L", "17"}, {"L", "31"}};
  const AuditJudgement judged = judge_audit(question(record, again, drawn), {});
  EXPECT_EQ(judged.outcome, AuditOutcome::accepted);
  EXPECT_EQ(judged.bad, 0u);
  EXPECT_EQ(judged.most_bad, most_bad(40, 3, 0, 0.95));
}

TEST(Audit, LossThatIsNotTheRecordedOneIsBad) {
  const RecordedJob record = job_with(40, 0, "R1");
  RecordedJob again = job_with(40, 0, "R2");
  *again.tests[16].loss += Decibels{0.6};
  const std::vector<UnitName> drawn = {{"L", "3"}, {"L", "17"}, {"L", "31"}};
  const AuditJudgement judged = judge_audit(question(record, again, drawn), {});
  EXPECT_EQ(judged.outcome, AuditOutcome::rejected);
  EXPECT_EQ(judged.bad, 1u);
  ASSERT_EQ(judged.units[1].differing.size(), 1u);
  EXPECT_TRUE(judged.units[1].over_limit.empty());
}

// Uncertainty counts against the auditor: a reading just beyond the limit proves nothing (ISO 14253-1).
TEST(Audit, LimitMustBePassedByMoreThanTheUncertainty) {
  RecordedJob record = job_with(40, 0.55, "R1");
  RecordedJob again = record;
  const double u = std::hypot(own, shared);
  *record.tests[2].loss = Decibels{1.45};
  *again.tests[2].loss = Decibels{1.5 + 2 * u - 0.01};
  const std::vector<UnitName> drawn = {{"L", "3"}};
  EXPECT_EQ(judge_audit(question(record, again, drawn), {}).outcome, AuditOutcome::accepted);
  *record.tests[2].loss = Decibels{1.49};
  *again.tests[2].loss = Decibels{1.5 + 2 * u + 0.01};
  const AuditJudgement judged = judge_audit(question(record, again, drawn), {});
  EXPECT_EQ(judged.outcome, AuditOutcome::rejected);
  EXPECT_EQ(judged.units[0].over_limit.size(), 1u);
}

TEST(Audit, UnmeasuredUnitLeavesItOpen) {
  const RecordedJob record = job_with(40, 0, "R1");
  RecordedJob again = job_with(40, 0, "R2");
  again.tests[2].loss.reset();
  const std::vector<UnitName> drawn = {{"L", "3"}, {"L", "4"}};
  const AuditJudgement judged = judge_audit(question(record, again, drawn), {});
  EXPECT_EQ(judged.outcome, AuditOutcome::incomplete);
  EXPECT_EQ(judged.incomplete, 1u);
}

}  // namespace
}  // namespace strandbook
