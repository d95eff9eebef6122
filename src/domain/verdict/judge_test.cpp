#include "domain/verdict/judge.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "domain/verdict/judge_test_ground.hpp"

namespace strandbook {
namespace {

struct Job {
  JobInput input;
  Rulebook rulebook{owner_rule()};
  JudgeSettings settings;

  Job() {
    settings.references = {{0.10}, 24 * hour};
    settings.gain_allowance = {0.05};
    settings.plan.rule = &rulebook[0];
    settings.plan.method = ReferenceMethod::one_cord;
  }
  void strand(const std::string& name, double length_m) {
    ScheduledStrand row;
    row.strand = name;
    row.fibre = FibreCategory::om4;
    row.length = Metres{length_m};
    row.connections = 2;
    row.splices = 0;
    input.schedule.push_back(row);
  }
  void reference(double nm, double dbm, std::int64_t at, ReferenceKind kind = ReferenceKind::opening) {
    Reference row;
    row.wavelength = {nm};
    row.power = {dbm};
    row.kind = kind;
    row.method = ReferenceMethod::one_cord;
    row.time = Instant{at, true, true, false};
    input.references.push_back(row);
  }
  Reading& reading(const char* name, double nm, ReadingKind kind, double value, std::int64_t at = 9 * hour) {
    Reading row;
    row.strand = name;
    row.wavelength = {nm};
    row.kind = kind;
    row.value = value;
    row.time = Instant{at, true, true, false};
    row.has_time = true;
    input.readings.rows.push_back(row);
    return input.readings.rows.back();
  }
  Assessment judged() {
    Result<Assessment> result = judge(std::move(input), rulebook, settings);
    EXPECT_TRUE(result) << (result ? "" : describe(result.problem()));
    return std::move(*result);
  }
};

const JudgedTest& test_of(const Assessment& all, const std::string& strand, double nm) {
  for (const JudgedTest& test : all.tests)
    if (all.schedule[test.strand].strand == strand && test.wavelength.value == nm) return test;
  throw std::runtime_error("no such test");
}

TEST(Judge, LossIsReferenceMinusReadingAndTheLimitIsWorkedOut) {
  Job job;
  job.strand("H-01", 120);
  job.reference(850, -20.46, 8 * hour);
  job.reference(1300, -20.10, 8 * hour);
  job.reading("H-01", 850, ReadingKind::power, -21.76);
  const Assessment all = job.judged();
  const JudgedTest& at_850 = test_of(all, "H-01", 850);
  EXPECT_EQ(at_850.outcome, Outcome::pass);
  EXPECT_NEAR(at_850.loss.value, 1.30, 1e-9);
  EXPECT_NEAR(all.limits[at_850.limit].value.value, 1.86, 1e-9);
  EXPECT_EQ(test_of(all, "H-01", 1300).outcome, Outcome::not_tested);
  EXPECT_EQ(all.summary.planned, 2u);
  EXPECT_EQ(all.summary.count(Outcome::pass), 1u);
}

// common practice: no passive link gives more light than went in; the whole batch is void, not only the
// worst.
TEST(Judge, GainOnTheWholeBatchVoidsTheReference) {
  Job job;
  for (const char* name : {"H-01", "H-02", "H-03", "H-04", "H-05"}) job.strand(name, 120);
  job.reference(850, -20.46, 8 * hour);
  for (const auto& [name, dbm] :
       {std::pair{"H-01", -20.21}, {"H-02", -20.18}, {"H-03", -20.30}, {"H-04", -19.55}})
    job.reading(name, 850, ReadingKind::power, dbm);
  job.reading("H-05", 850, ReadingKind::power, -20.52);  // looks good: 0.06 dB
  const Assessment all = job.judged();
  EXPECT_EQ(all.summary.count(Outcome::invalid), 5u);
  EXPECT_EQ(all.summary.count(Outcome::pass), 0u);
  EXPECT_EQ(test_of(all, "H-05", 850).reason, Reason::reference_disproved);
  EXPECT_NEAR(test_of(all, "H-04", 850).loss.value, -0.91, 1e-9);
}

TEST(Judge, ADriftedSessionIsUndecidable) {
  Job job;
  for (const char* name : {"A1", "A2", "A3"}) job.strand(name, 100);
  job.settings.plan.fixed_limit = Decibels{1.62};
  job.settings.plan.wavelengths = {{850}};
  job.reference(850, -20.10, 8 * hour);
  job.reading("A1", 850, ReadingKind::power, -21.52, 9 * hour);
  job.reading("A2", 850, ReadingKind::power, -21.60, 10 * hour);
  job.reading("A3", 850, ReadingKind::power, -21.78, 11 * hour);
  job.reference(850, -20.44, 12 * hour, ReferenceKind::closing_check);
  const Assessment all = job.judged();
  EXPECT_EQ(all.summary.count(Outcome::invalid), 3u);
  for (const JudgedTest& test : all.tests) EXPECT_EQ(test.reason, Reason::reference_drifted);
}

TEST(Judge, WithoutAReferenceMethodNothingPasses) {
  Job job;
  job.settings.plan.method.reset();
  job.strand("H-01", 100);
  job.reading("H-01", 850, ReadingKind::loss, 0.4);
  const Assessment all = job.judged();
  EXPECT_EQ(test_of(all, "H-01", 850).outcome, Outcome::invalid);
  EXPECT_EQ(test_of(all, "H-01", 850).reason, Reason::method_unstated);
}

TEST(Judge, TheScheduleDemandsAMethodAndTheReferenceUsedAnother) {
  Job job;
  job.strand("H-01", 100);
  job.input.schedule[0].method = ReferenceMethod::two_cord;
  job.reference(850, -20, 8 * hour);
  job.reading("H-01", 850, ReadingKind::power, -20.5);
  EXPECT_EQ(test_of(job.judged(), "H-01", 850).reason, Reason::methods_differ);
}

TEST(Judge, TheLimitFollowsTheMethodOfTheReference) {
  Job job;
  job.strand("H-01", 100);
  job.reference(850, -20, 8 * hour);
  job.input.references[0].method = ReferenceMethod::two_cord;
  job.reading("H-01", 850, ReadingKind::power, -21.2);
  const Assessment all = job.judged();
  const JudgedTest& test = test_of(all, "H-01", 850);
  EXPECT_NEAR(all.limits[test.limit].value.value, 1.05, 1e-9);  // 0.3 + 2 × 0.75 − 1 × 0.75
  EXPECT_EQ(test.outcome, Outcome::fail);
}

TEST(Judge, ExactlyAtTheLimitIsWithinIt) {
  Job job;
  job.strand("H-01", 100);
  job.settings.plan.fixed_limit = Decibels{1.85};
  job.reference(850, -20.10, 8 * hour);
  job.reading("H-01", 850, ReadingKind::power, -21.95);
  EXPECT_EQ(test_of(job.judged(), "H-01", 850).outcome, Outcome::pass);
}

TEST(Judge, TheLatestValidReadingCountsAndAllAreKept) {
  Job job;
  job.strand("H-01", 100);
  job.reading("H-01", 850, ReadingKind::loss, 2.4, 9 * hour);
  job.reading("H-01", 850, ReadingKind::loss, 0.9, 11 * hour);   // after cleaning
  job.reading("H-01", 850, ReadingKind::loss, -0.5, 12 * hour);  // cannot count
  const Assessment all = job.judged();
  const JudgedTest& test = test_of(all, "H-01", 850);
  EXPECT_NEAR(test.loss.value, 0.9, 1e-9);
  EXPECT_EQ(test.other_readings, 2u);
  EXPECT_EQ(all.readings.rows.size(), 3u);
}

TEST(Judge, WhereNoTimeTellsTheGreaterLossCounts) {
  Job job;
  job.strand("H-01", 100);
  job.reading("H-01", 850, ReadingKind::loss, 1.2).has_time = false;
  job.reading("H-01", 850, ReadingKind::loss, 0.9).has_time = false;
  EXPECT_NEAR(test_of(job.judged(), "H-01", 850).loss.value, 1.2, 1e-9);
}

TEST(Judge, BothDirectionsAreDueAndKept) {
  Job job;
  job.strand("H-01", 100);
  job.settings.plan.directions = DirectionDemand::both;
  job.settings.plan.wavelengths = {{850}};
  job.reading("H-01", 850, ReadingKind::loss, 0.9).direction = Direction::b_to_a;
  job.reading("H-01", 850, ReadingKind::loss, 0.8);  // which way?
  const Assessment all = job.judged();
  ASSERT_EQ(all.tests.size(), 2u);
  EXPECT_EQ(all.tests[0].outcome, Outcome::not_tested);
  EXPECT_EQ(all.tests[0].direction, Direction::a_to_b);
  EXPECT_EQ(all.tests[1].outcome, Outcome::pass);
  ASSERT_EQ(all.unmatched.size(), 1u);
}

TEST(Judge, NoLightIsMissingNotZero) {
  Job job;
  job.strand("H-01", 100);
  job.reading("H-01", 850, ReadingKind::no_light, 0);
  const Assessment all = job.judged();
  EXPECT_EQ(test_of(all, "H-01", 850).outcome, Outcome::not_tested);
  EXPECT_EQ(test_of(all, "H-01", 850).reason, Reason::no_light);
  EXPECT_FALSE(test_of(all, "H-01", 850).has_loss);
}

// common practice: many meters name the long multimode window 1310; it counts as 1300 only where a rule says
// so.
TEST(Judge, AWavelengthCountsAsAnotherOnlyByRule) {
  const auto outcome_at_1300 = [](bool by_rule) {
    Job job;
    if (by_rule) job.rulebook[0].aliases = {{FibreMode::multimode, {1310}, {1300}, {}}};
    job.strand("H-01", 100);
    job.reading("H-01", 1310, ReadingKind::loss, 0.5);
    return test_of(job.judged(), "H-01", 1300).outcome;
  };
  EXPECT_EQ(outcome_at_1300(true), Outcome::pass);
  EXPECT_EQ(outcome_at_1300(false), Outcome::not_tested);
}

TEST(Judge, UnscheduledReadingsAreKeptApart) {
  Job job;
  job.strand("H-01", 100);
  job.reading("H-77", 850, ReadingKind::loss, 0.5);
  job.reading("H-1", 850, ReadingKind::loss, 0.5);
  const Assessment all = job.judged();
  ASSERT_EQ(all.unmatched.size(), 2u);
  EXPECT_EQ(all.unmatched[1].proposal, "H-01");
  EXPECT_EQ(all.unmatched[1].by, "padding");
}

TEST(Judge, WithoutRuleOrLimitTheTestIsInvalidWithItsReason) {
  Job job;
  job.strand("H-01", 100);
  job.input.schedule[0].connections.reset();
  job.reading("H-01", 850, ReadingKind::loss, 0.5);
  const Assessment all = job.judged();
  const JudgedTest& test = test_of(all, "H-01", 850);
  EXPECT_EQ(test.outcome, Outcome::invalid);
  EXPECT_EQ(test.reason, Reason::no_limit);
  ASSERT_NE(test.limit_problem, nothing);
}

TEST(Judge, AnUnknownRuleInTheScheduleStopsTheJob) {
  Job job;
  job.strand("H-01", 100);
  job.input.schedule[0].rule = "tia-999";
  EXPECT_FALSE(judge(std::move(job.input), job.rulebook, job.settings));
}

TEST(Judge, AnEmptyJobHasNoTests) {
  Job job;
  EXPECT_EQ(job.judged().summary.planned, 0u);
}

// Two workers and one give the same tests in the same order.
TEST(Judge, WorkersDoNotChangeTheResult) {
  const auto run = [](unsigned workers) {
    Job job;
    job.settings.workers = workers;
    std::vector<std::string> names;
    for (int i = 0; i < 6000; ++i) names.push_back("S" + std::to_string(i));
    for (int i = 0; i < 6000; ++i) job.strand(names[static_cast<std::size_t>(i)], 100 + i % 50);
    for (int i = 0; i < 6000; i += 2)
      job.reading(names[static_cast<std::size_t>(i)].c_str(), 850, ReadingKind::loss, i % 25 * 0.1);
    const Assessment all = job.judged();
    std::vector<std::tuple<std::uint32_t, double, Outcome, double>> rows;
    for (const JudgedTest& test : all.tests)
      rows.emplace_back(test.strand, test.wavelength.value, test.outcome, all.limits[test.limit].value.value);
    return rows;
  };
  EXPECT_EQ(run(1), run(3));
}

RC_GTEST_PROP(Judge, EveryReadingIsATestsOrUnmatched, ()) {
  Job job;
  for (const char* name : {"A", "B", "C"}) job.strand(name, 100);
  const int count = *rc::gen::inRange(0, 20);
  static const char* const names[] = {"A", "B", "C", "Q"};
  for (int i = 0; i < count; ++i)
    job.reading(names[*rc::gen::inRange(0, 4)], *rc::gen::element(850.0, 1300.0, 1550.0), ReadingKind::loss,
                *rc::gen::inRange(-100, 300) / 100.0, *rc::gen::inRange(0, 5) * hour);
  const Assessment all = job.judged();
  std::size_t used = 0;
  for (const JudgedTest& test : all.tests)
    if (test.reading != nothing) used += 1 + test.other_readings;
  RC_ASSERT(used + all.unmatched.size() == static_cast<std::size_t>(count));
}

}  // namespace
}  // namespace strandbook
