#pragma once
// Schedule, references and readings to outcomes: the whole judgement of a job.

#include <functional>

#include "domain/plan/strand_index.hpp"
#include "domain/plan/test_plan.hpp"
#include "domain/readings/reference_finder.hpp"
#include "domain/readings/site_records.hpp"
#include "domain/readings/uncertainty.hpp"
#include "domain/traces/held_trace.hpp"
#include "domain/verdict/assessment.hpp"

namespace strandbook {

struct JudgeSettings {
  PlanSettings plan;
  GuardBand guard = GuardBand::none;
  ReferencePractice references;
  Decibels gain_allowance;  ///< a loss below minus this cannot be a passive link's
  UncertaintyModel uncertainty;
  NameRepairs confirmed_repairs = 0;  ///< kinds of name repair a person confirmed
  unsigned workers = 2;
};

/// What a job consists of before it is judged.
struct JobInput {
  Schedule schedule;  ///< one row per strand (without_repeats)
  std::vector<Reference> references;
  ReadingSet readings;
  SiteRecords records = {};
  std::vector<HeldTrace> traces = {};
};

/// Judges every planned test. Fails only where a schedule row names an unknown rule; all else is an outcome.
/// The rulebook must outlive the assessment.
Result<Assessment> judge(JobInput input, const Rulebook& rulebook, const JudgeSettings& settings);

}  // namespace strandbook
