#include "domain/review/audit.hpp"

#include <algorithm>
#include <map>
#include <set>

namespace strandbook {
namespace {

using NamePair = std::pair<std::string, std::string>;

NamePair unit_of(const RecordedTest& test, SampleUnit unit) {
  return {test.link, unit == SampleUnit::strand ? test.strand : std::string{}};
}

RecordedJob only_drawn(const RecordedJob& job, const std::set<NamePair>& drawn, SampleUnit unit) {
  RecordedJob part{job.name, job.source, job.guard, {}};
  for (const RecordedTest& test : job.tests)
    if (drawn.contains(unit_of(test, unit))) part.tests.push_back(test);
  return part;
}

bool recorded_as_accepted(Outcome outcome) {
  return outcome == Outcome::pass || outcome == Outcome::conditional_pass;
}

/// The auditor proves non-conformity, so uncertainty counts against the auditor (ISO 14253-1).
bool proven_over(const RecordedTest& test, const std::optional<Decibels>& limit) {
  return test.loss && limit &&
         decide(*test.loss, *limit, test.uncertainty, GuardBand::expanded_uncertainty) == Outcome::fail;
}

}  // namespace

std::string_view text_of(SampleUnit unit) { return unit == SampleUnit::strand ? "strand" : "link"; }

std::string_view text_of(AuditOutcome outcome) {
  switch (outcome) {
    case AuditOutcome::accepted:
      return "accepted";
    case AuditOutcome::rejected:
      return "rejected";
    case AuditOutcome::incomplete:
      return "incomplete";
  }
  return {};
}

std::vector<UnitName> units_of(const RecordedJob& job, SampleUnit unit) {
  std::vector<UnitName> units;
  std::set<NamePair> seen;
  for (const RecordedTest& test : job.tests) {
    NamePair name = unit_of(test, unit);
    if (seen.insert(name).second) units.push_back({name.first, name.second});
  }
  return units;
}

AuditJudgement judge_audit(const AuditQuestion& question, const ComparisonSettings& settings) {
  AuditJudgement result;
  result.plan = question.plan;
  result.lot = question.lot;
  result.confidence = question.confidence;
  std::map<NamePair, std::size_t> index;
  std::set<NamePair> drawn;
  for (const UnitName& name : question.drawn) {
    index.emplace(NamePair{name.link, name.strand}, result.units.size());
    drawn.emplace(name.link, name.strand);
    result.units.push_back({.name = name});
  }
  result.before = only_drawn(question.recorded, drawn, question.unit);
  result.after = only_drawn(question.measured, drawn, question.unit);
  const RecordedJob& before = result.before;
  const RecordedJob& after = result.after;
  for (const RecordedTest& test : before.tests) ++result.units[index.at(unit_of(test, question.unit))].tests;
  result.comparison = compare_jobs(before, after, settings);
  for (std::uint32_t i = 0; i < result.comparison.pairs.size(); ++i) {
    const TestPair& pair = result.comparison.pairs[i];
    const RecordedTest& old = before.tests[pair.before];
    const RecordedTest& now = after.tests[pair.after];
    AuditedUnit& unit = result.units[index.at(unit_of(old, question.unit))];
    if (now.loss && !pair.same_reading) ++unit.measured;
    if (recorded_as_accepted(old.outcome) && proven_over(now, old.limit ? old.limit : now.limit))
      unit.over_limit.push_back(i);
    if (pair.changed) unit.differing.push_back(i);
  }
  for (const AuditedUnit& unit : result.units) {
    result.bad += unit.bad() ? 1U : 0U;
    result.incomplete += unit.complete() ? 0U : 1U;
  }
  const auto size = static_cast<std::uint32_t>(result.units.size());
  result.most_bad = most_bad(question.lot, size - result.incomplete,
                             std::min(result.bad, size - result.incomplete), question.confidence);
  if (result.bad > question.plan.accept)
    result.outcome = AuditOutcome::rejected;
  else
    result.outcome = result.incomplete == 0 && size > 0 ? AuditOutcome::accepted : AuditOutcome::incomplete;
  return result;
}

}  // namespace strandbook
