#include "domain/diagnosis/scope.hpp"

#include <gtest/gtest.h>

namespace strandbook {
namespace {

ScheduledStrand strand(const char* building, const char* cable, const char* link, const char* name,
                       const char* end_a, const char* end_b) {
  ScheduledStrand row;
  row.building = building;
  row.cable = cable;
  row.link = link;
  row.strand = name;
  row.end_a = end_a;
  row.end_b = end_b;
  return row;
}

/// Two links of two strands; each strand has one test, read by K. or R. under a reference of its own set.
JudgedJob two_links() {
  JudgedJob job;
  Assessment& all = job.assessment;
  all.schedule = {strand("North", "C1", "L1", "01", "P1:01", "P2:01"),
                  strand("North", "C1", "L1", "02", "P1:02", "P2:02"),
                  strand("South", "C2", "L2", "01", "P2:03", "P3.A/01"),
                  strand("South", "C2", "L2", "02", "P2:04", "P3.A/02")};
  for (const char* meter : {"M-1", "M-2"}) {
    Reference reference;
    reference.id = std::string("R of ") + meter;
    reference.meter = meter;
    all.references.push_back(reference);
  }
  for (std::uint32_t i = 0; i < 4; ++i) {
    Reading reading;
    reading.operator_name = i % 2 == 0 ? "K." : "R.";
    reading.value = i;
    all.readings.rows.push_back(reading);
    all.strand_of.push_back(i);
    all.limits.push_back({});
    JudgedTest test;
    test.strand = i;
    test.reading = i;
    test.reference = i < 2 ? 0 : 1;
    test.limit = i;
    test.outcome = i == 3 ? Outcome::fail : Outcome::pass;
    all.tests.push_back(test);
    ++all.summary.by_outcome[static_cast<std::size_t>(test.outcome)];
  }
  all.summary.planned = 4;
  Finding finding;
  finding.id = "F1";
  finding.tests = {1, 3};
  job.findings = {finding};
  return job;
}

/// A scope of one kind of names.
Scope only(std::vector<std::string> Scope::*kind, std::vector<std::string> names) {
  Scope scope;
  scope.*kind = std::move(names);
  return scope;
}

TEST(Scope, TheWholeJobStaysAsItIs) {
  JudgedJob job = two_links();
  ASSERT_TRUE(narrow(job, {}));
  EXPECT_EQ(job.assessment.tests.size(), 4u);
  EXPECT_EQ(extent_of(job).links, 2u);
}

TEST(Scope, APartKeepsWhatItsTestsRestOn) {
  JudgedJob job = two_links();
  ASSERT_TRUE(narrow(job, only(&Scope::links, {" l2 "})));
  const Assessment& all = job.assessment;
  ASSERT_EQ(all.tests.size(), 2u);
  EXPECT_EQ(all.schedule.size(), 2u);
  EXPECT_EQ(all.limits.size(), 2u);
  ASSERT_EQ(all.references.size(), 1u);
  EXPECT_EQ(all.references[0].meter, "M-2");
  for (const JudgedTest& test : all.tests) {
    EXPECT_EQ(all.schedule[test.strand].link, "L2");
    EXPECT_EQ(all.readings.rows[test.reading].value, test.strand + 2);
    EXPECT_EQ(test.reference, 0u);
    EXPECT_LT(test.limit, all.limits.size());
  }
  EXPECT_EQ(all.strand_of, (std::vector<std::uint32_t>{0, 1}));
  EXPECT_EQ(all.summary.planned, 2u);
  EXPECT_EQ(all.summary.count(Outcome::fail), 1u);
  ASSERT_EQ(job.findings.size(), 1u);
  EXPECT_EQ(job.findings[0].tests, (std::vector<std::uint32_t>{1}));
}

TEST(Scope, APanelIsAnEndWithoutItsPort) {
  JudgedJob job = two_links();
  ASSERT_TRUE(narrow(job, only(&Scope::panels, {"P2"})));
  EXPECT_EQ(job.assessment.tests.size(), 4u);
  job = two_links();
  ASSERT_TRUE(narrow(job, only(&Scope::panels, {"P3.A"})));
  EXPECT_EQ(job.assessment.tests.size(), 2u);
}

TEST(Scope, AnOperatorHoldsTheTestsItRead) {
  JudgedJob job = two_links();
  Scope scope = only(&Scope::buildings, {"South"});
  scope.operators = {"R."};
  ASSERT_TRUE(narrow(job, scope));
  ASSERT_EQ(job.assessment.tests.size(), 1u);
  EXPECT_EQ(job.assessment.tests[0].outcome, Outcome::fail);
  EXPECT_EQ(job.assessment.schedule[0].strand, "02");
}

TEST(Scope, PartsAddUpToTheWhole) {
  const Scope names = names_of(two_links().assessment);
  EXPECT_EQ(names.panels, (std::vector<std::string>{"P1", "P2", "P3.A"}));
  for (const auto list : {&Scope::buildings, &Scope::cables, &Scope::operators, &Scope::links}) {
    std::size_t tests = 0;
    for (const std::string& name : names.*list) {
      JudgedJob job = two_links();
      ASSERT_TRUE(narrow(job, only(list, {name})));
      tests += job.assessment.tests.size();
    }
    EXPECT_EQ(tests, 4u);
  }
}

TEST(Scope, AnUnknownNameIsRefusedAndNothingChanges) {
  JudgedJob job = two_links();
  const auto done = narrow(job, only(&Scope::cables, {"C9"}));
  ASSERT_FALSE(done);
  EXPECT_NE(done.problem().found.find("C9"), std::string::npos);
  EXPECT_NE(done.problem().wanted.find("C1, C2"), std::string::npos);
  EXPECT_EQ(job.assessment.tests.size(), 4u);
  Scope scope = only(&Scope::cables, {"C1"});
  scope.links = {"L2"};
  EXPECT_FALSE(narrow(job, scope));
  EXPECT_EQ(job.assessment.tests.size(), 4u);
}

TEST(Scope, TracesGoWithTheirStrands) {
  JudgedJob job = two_links();
  job.assessment.traces.resize(3);
  job.assessment.traces[1].pulse_ns = 30;
  job.assessment.trace_strands = {0, 3, 0xffffffff};  // the last belongs to no strand
  JudgedTraces of_first;
  of_first.strand = 0;
  of_first.traces = {0};
  of_first.from_a = 0;
  JudgedTraces of_last;
  of_last.strand = 3;
  of_last.traces = {1};
  of_last.from_b = 1;
  of_last.test = 3;
  job.traces = {of_first, of_last};
  ASSERT_TRUE(narrow(job, only(&Scope::links, {"L2"})));
  ASSERT_EQ(job.traces.size(), 1U);
  EXPECT_EQ(job.traces[0].strand, 1U);
  EXPECT_EQ(job.traces[0].test, 1U);
  EXPECT_EQ(job.traces[0].from_a, nothing);
  ASSERT_EQ(job.traces[0].from_b, 0U);
  EXPECT_EQ(job.assessment.traces[job.traces[0].from_b].pulse_ns, 30);
  EXPECT_EQ(job.assessment.traces.size(), 2U);
}

}  // namespace
}  // namespace strandbook
