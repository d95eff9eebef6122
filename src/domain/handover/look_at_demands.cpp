// How the owner wants it tested: reference method, conditions, splices, traces, repeats.

#include <fmt/format.h>

#include "domain/handover/preflight_parts.hpp"

namespace strandbook {
namespace {

std::optional<ReferenceMethod> method_of(const Assessment& all, const JudgedTest& test) {
  if (test.reference != nothing && all.references[test.reference].method)
    return all.references[test.reference].method;
  return all.schedule[test.strand].method;
}

void look_at_method(const PreflightDesk& desk, const Sourced<ReferenceMethod>& wanted) {
  const Assessment& all = desk.job.assessment;
  std::vector<std::uint32_t> strands = desk.strands_where([&](const JudgedTest& test) {
    const auto method = method_of(all, test);
    return test.reading != nothing && method && *method != wanted.value;
  });
  std::vector<std::uint32_t> unknown = desk.strands_where(
      [&](const JudgedTest& test) { return test.reading != nothing && !method_of(all, test); });
  if (!unknown.empty()) {
    std::string gap = fmt::format("By which reference method is not recorded: {}", desk.part_of_job(unknown));
    desk.tell({"method", Objection::missing, std::move(gap),
               "Put the method into the references or the schedule and bring them in again.",
               describe(wanted.source), std::move(unknown)});
  }
  if (strands.empty()) return;
  std::string what =
      fmt::format("Not tested by the {} method: {}", text_of(wanted.value), desk.part_of_job(strands));
  desk.tell({"method", Objection::refused, std::move(what),
             "Set a reference by that method and read these strands again.", describe(wanted.source),
             std::move(strands)});
}

void look_at_conditions(const PreflightDesk& desk, const OwnerProfile& profile) {
  for (const auto& condition : profile.conditions) {
    if (condition.value == TestCondition::every_strand) continue;  // what is scheduled is planned
    const bool shut = condition.value == TestCondition::closures_shut;
    if (shut && desk.pack.statements.contains(RecordField::closure_shut)) continue;
    desk.tell({"condition",
               Objection::by_hand,
               fmt::format("The owner's condition of a test: {}", text_of(condition.value)),
               "See that it was met, and state it for the job.",
               describe(condition.source),
               {},
               shut ? std::string(text_of(RecordField::closure_shut)) : std::string{}});
  }
  for (const auto& stage : profile.stages)
    desk.tell({"stage",
               Objection::by_hand,
               fmt::format("The owner wants the stage: {}", text_of(stage.value)),
               "Enclose its results where it is not this job.",
               describe(stage.source),
               {}});
}

void look_at_repeats(const PreflightDesk& desk, const OwnerProfile& profile) {
  for (const auto& rule : profile.retest) {
    if (rule.value != RetestRule::action_before_repeat) {
      desk.tell({"retest",
                 Objection::by_hand,
                 fmt::format("The owner's rule on repeats: {}", text_of(rule.value)),
                 "Know it before you hand over.",
                 describe(rule.source),
                 {}});
      continue;
    }
    std::vector<std::uint32_t> strands = desk.strands_where([&desk](const JudgedTest& test) {
      return test.other_readings > 0 && !desk.pack.acted_on.contains(test.strand);
    });
    if (strands.empty()) continue;
    std::string what =
        fmt::format("Repeated without a note of what was done in between: {}", desk.part_of_job(strands));
    desk.tell({"retest", Objection::refused, std::move(what),
               "Note at each strand what was cleaned, spliced or changed between its readings.",
               describe(rule.source), std::move(strands)});
  }
}

void look_at_splices_and_traces(const PreflightDesk& desk, const OwnerProfile& profile) {
  if (!profile.splices.empty() && desk.job.assessment.traces.empty())
    desk.tell({"splices",
               Objection::by_hand,
               fmt::format("The owner limits the loss of splices ({} rules): a power meter cannot show it.",
                           profile.splices.size()),
               "Hold the traces of both directions against the limits, and enclose them.",
               describe(profile.splices.front().limit.source),
               {}});
  if (!profile.return_loss.empty())
    desk.tell({"return-loss",
               Objection::by_hand,
               "The owner limits return loss.",
               "Measure it with an instrument for it, and enclose its records.",
               describe(profile.return_loss.front().least.source),
               {}});
  if (profile.reel_deviation_most)
    desk.tell(
        {"reels",
         Objection::by_hand,
         fmt::format(
             "The owner wants reels reported that differ by more than {:g} % from their maker's record.",
             profile.reel_deviation_most->value),
         "Compare each reel with its sheet before it is laid, and enclose the comparison.",
         describe(profile.reel_deviation_most->source),
         {}});
}

}  // namespace

void look_at_tests(const PreflightDesk& desk, const OwnerProfile& profile) {
  if (profile.reference_method) look_at_method(desk, *profile.reference_method);
  look_at_conditions(desk, profile);
  look_at_repeats(desk, profile);
  look_at_splices_and_traces(desk, profile);
}

void look_at_words(const PreflightDesk& desk, const OwnerProfile& profile) {
  for (const auto& words : profile.in_words)
    desk.tell({"words",
               Objection::by_hand,
               words.value,
               "Read it, and see that it is met.",
               describe(words.source),
               {}});
}

}  // namespace strandbook
