#include "workflow/judge_job.hpp"

#include <fmt/format.h>

#include "domain/diagnosis/find.hpp"
#include "domain/diagnosis/judged_splices.hpp"

namespace strandbook {
namespace {

bool needs_job_rule(const Schedule& schedule, const JobSettings& settings) {
  if (settings.fixed_limit) return false;
  for (const ScheduledStrand& strand : schedule)
    if (strand.rule.empty() && !strand.fixed_limit) return true;
  return false;
}

void note_tidied_names(JudgedJob& job) {
  const Assessment& all = job.assessment;
  constexpr std::size_t most_shown = 20;
  for (std::size_t i = 0; i < all.tidied.size() && i < most_shown; ++i) {
    const Reading& reading = all.readings.rows[all.tidied[i]];
    const Place at = all.readings.place_of(reading);
    job.notes.push_back(
        {at.file, at.sheet,
         fmt::format("row {}: \"{}{}{}\" was taken for a scheduled strand whose name differs in spelling",
                     at.row, reading.link, reading.link.empty() ? "" : "/", reading.strand)});
  }
  if (all.tidied.size() > most_shown)
    job.notes.push_back(
        {"", "", fmt::format("{} more names were matched in the same way", all.tidied.size() - most_shown)});
}

void note_profile(JudgedJob& job, const JobSettings& settings) {
  if (settings.profile.empty()) return;
  job.notes.push_back({"", "", "judged under the owner's profile " + settings.profile});
  const DecisionRule& decision = settings.decision;
  const auto note = [&](Outcome outcome, const char* word) {
    job.notes.push_back(
        {"", "", fmt::format("the owner {} a {}: {}", word, text_of(outcome), describe(decision.source))});
  };
  if (decision.conditional_pass == Acceptance::refused) note(Outcome::conditional_pass, "does not take");
  if (decision.conditional_fail == Acceptance::accepted) note(Outcome::conditional_fail, "takes");
}

}  // namespace

OwnRules own_rules_of(const JobSettings& settings) {
  return {settings.own_rule_files, settings.own_rule_texts};
}

Result<JudgeSettings> judge_settings(const KnownRules& known, const JobSettings& job,
                                     const Schedule& schedule) {
  JudgeSettings settings;
  if (!job.rule.empty() || needs_job_rule(schedule, job)) {
    const Result<const RuleSet*> rule = rule_by_id(*known.rulebook, job.rule);
    if (!rule) return rule.problem();
    settings.plan.rule = *rule;
  }
  settings.plan.fixed_limit = job.fixed_limit;
  settings.plan.wavelengths = job.wavelengths;
  settings.plan.directions = job.directions;
  settings.plan.demands = job.demands;
  settings.plan.method = job.method;
  settings.plan.cords = job.cords;
  settings.plan.configuration = job.configuration;
  settings.guard = job.guard.value_or(GuardBand::none);
  settings.references = known.practice.references;
  if (job.reference_valid_s) settings.references.valid_for_s = job.reference_valid_s;
  settings.gain_allowance = known.practice.gain_allowance;
  settings.uncertainty = known.practice.uncertainty;
  settings.confirmed_repairs = job.confirmed_repairs;
  return settings;
}

Result<JudgedWork> judge_job(BroughtIn brought, const JobSettings& settings) {
  const Result<KnownRules> known = know_rules(own_rules_of(settings), settings.uncertainty_file);
  if (!known) return known.problem();
  SortedSchedule sorted = without_repeats(std::move(brought.input.schedule));
  brought.input.schedule = std::move(sorted.strands);
  for (Problem& repeated : sorted.repeated) brought.unread.push_back(std::move(repeated));
  const Result<JudgeSettings> how = judge_settings(*known, settings, brought.input.schedule);
  if (!how) return how.problem();
  Result<Assessment> assessment = judge(std::move(brought.input), *known->rulebook, *how);
  if (!assessment) return assessment.problem();
  JudgedWork work{known->rulebook, known->practice, settings.decision, {}, *how};
  work.job.name = settings.name;
  work.job.assessment = std::move(*assessment);
  work.job.findings =
      find_causes(work.job.assessment, {how->references, known->practice.diagnosis, settings.traces});
  work.job.traces = judge_traces(work.job.assessment, settings.traces);
  work.job.unread_rows = std::move(brought.unread);
  work.job.notes = std::move(brought.notes);
  for (const std::uint32_t row : work.job.assessment.continuity.unplaced)
    work.job.unread_rows.push_back(unplaced_path(work.job.assessment.records.light_paths[row]));
  for (const Problem& trace : unplaced_traces(work.job.assessment)) work.job.unread_rows.push_back(trace);
  for (const Problem& attempt : unplaced_attempts(work.job.assessment))
    work.job.unread_rows.push_back(attempt);
  note_tidied_names(work.job);
  note_profile(work.job, settings);
  return work;
}

bool all_holds(const JudgedWork& work) {
  const Summary& summary = work.job.assessment.summary;
  std::size_t holding = 0;
  for (const Outcome outcome : {Outcome::pass, Outcome::conditional_pass, Outcome::conditional_fail})
    if (accepted(outcome, work.decision)) holding += summary.count(outcome);
  return holding == summary.planned && work.job.unread_rows.empty() && work.job.assessment.unmatched.empty();
}

}  // namespace strandbook
