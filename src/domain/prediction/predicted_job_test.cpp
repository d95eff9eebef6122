#include "domain/prediction/predicted_job.hpp"

#include <gtest/gtest.h>

#include "domain/prediction/crew_plan.hpp"
#include "domain/prediction/prediction_test_ground.hpp"

namespace strandbook {
namespace {

ScheduledStrand strand_of(const char* link, const char* strand, double metres, double limit) {
  ScheduledStrand row;
  row.link = link;
  row.strand = strand;
  row.fibre = FibreCategory::os2;
  row.length = Metres{metres};
  row.connections = 2;
  row.splices = 2;
  row.method = ReferenceMethod::one_cord;
  row.cords = CordGrade::reference_grade;
  row.fixed_limit = Decibels{limit};
  row.wavelengths = {{1310}, {1550}};
  row.directions = DirectionDemand::both;
  return row;
}

struct JobGround {
  Schedule schedule;
  Rulebook rulebook;
  JudgeSettings settings;
  ComponentStatistics parts = test_parts();
  JobGround() { settings.uncertainty = test_uncertainty(); }
  JobPrediction predict() { return *predict_job({schedule, rulebook, settings, parts}); }
};

TEST(PredictedJob, WorstLinkFirstAndTestsCounted) {
  JobGround given;
  given.schedule = {strand_of("easy", "1", 1000, 3), strand_of("hard", "1", 5000, 1.9),
                    strand_of("hard", "2", 5000, 1.9)};
  const JobPrediction job = given.predict();
  EXPECT_EQ(job.planned, 12u);
  EXPECT_EQ(job.not_predicted, 0u);
  ASSERT_EQ(job.links.size(), 2u);
  EXPECT_EQ(job.links[0].link, "hard");
  EXPECT_EQ(job.links[0].tests, 8u);
  EXPECT_EQ(job.links[0].passes, 4u);
  EXPECT_EQ(job.designs.size(), 4u);
  // The longer wavelength loses less in the fibre: 1310 nm is the worst.
  EXPECT_EQ(job.designs[job.links[0].worst].design.question.wavelength.value, 1310);
  EXPECT_NEAR(job.links[0].expected_failures, 2 * (1 - job.designs[job.links[0].worst].accepted), 1e-12);
  EXPECT_NEAR(job.failures.expected, job.links[0].expected_failures + job.links[1].expected_failures, 0.02);
}

TEST(PredictedJob, WhatCannotBePredictedIsNamedFirst) {
  JobGround given;
  given.schedule = {strand_of("easy", "1", 1000, 3), strand_of("unknown", "1", 1000, 3)};
  given.schedule[1].length.reset();
  const JobPrediction job = given.predict();
  EXPECT_EQ(job.links[0].link, "unknown");
  EXPECT_EQ(job.not_predicted, 4u);
  ASSERT_TRUE(job.designs[job.links[0].worst].problem);
  EXPECT_EQ(job.designs[job.links[0].worst].problem->wanted, "the length in metres");
}

TEST(PredictedJob, EmptyScheduleHasNothing) {
  JobGround given;
  const JobPrediction job = given.predict();
  EXPECT_EQ(job.planned, 0u);
  EXPECT_EQ(job.failures.expected, 0);
  EXPECT_EQ(plan_crews(job, given.parts.times, 2).minutes, 0);
}

// Worked by hand: link 15 min; 1 strand × 2 directions × 1.5; 4 readings × 0.25; nothing fails: 19 min.
TEST(PredictedJob, TimeOfALink) {
  JobGround given;
  given.schedule = {strand_of("easy", "1", 1000, 60)};
  const JobPrediction job = given.predict();
  EXPECT_NEAR(minutes_at(job.links[0], given.parts.times), 19, 1e-6);
  const CrewPlan plan = plan_crews(job, given.parts.times, 1);
  EXPECT_EQ(plan.crews[0].sessions, 1u);
  EXPECT_NEAR(plan.minutes, 34, 1e-6);
  EXPECT_NEAR(plan.days, 34.0 / 360, 1e-6);
}

TEST(PredictedJob, CrewsShareTheLinks) {
  JobGround given;
  for (const char* link : {"a", "b", "c", "d", "e"})
    for (const char* strand : {"1", "2", "3"}) given.schedule.push_back(strand_of(link, strand, 1000, 60));
  const JobPrediction job = given.predict();
  const CrewPlan plan = plan_crews(job, given.parts.times, 2);
  EXPECT_EQ(plan.crews[0].links.size() + plan.crews[1].links.size(), 5u);
  EXPECT_EQ(plan.crews[0].tests + plan.crews[1].tests, job.planned);
  EXPECT_LT(plan.days, plan_crews(job, given.parts.times, 1).days);
}

}  // namespace
}  // namespace strandbook
