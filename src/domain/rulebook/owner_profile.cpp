#include "domain/rulebook/owner_profile.hpp"

#include <algorithm>

namespace strandbook {

std::string_view text_of(TestCondition condition) {
  switch (condition) {
    case TestCondition::closures_shut:
      return "closures shut";
    case TestCondition::every_strand:
      return "every strand";
    case TestCondition::respliced_strands_too:
      return "respliced strands too";
  }
  return {};
}

std::string_view text_of(HandoverForm form) {
  switch (form) {
    case HandoverForm::original_records:
      return "original records";
    case HandoverForm::trace_files:
      return "trace exchange files";
    case HandoverForm::spreadsheet:
      return "spreadsheet";
    case HandoverForm::pdf_list:
      return "PDF list";
    case HandoverForm::paper:
      return "paper";
    case HandoverForm::signed_sheet:
      return "signed sheet";
    case HandoverForm::reading_program:
      return "reading program";
    case HandoverForm::calibration_certificate:
      return "calibration certificate";
    case HandoverForm::test_procedure:
      return "test procedure";
    case HandoverForm::text_export:
      return "text export";
  }
  return {};
}

std::optional<HandoverForm> parse_handover_form(std::string_view text) {
  for (const HandoverForm form : every_handover_form)
    if (text_of(form) == text) return form;
  return std::nullopt;
}

std::string_view text_of(RetestRule rule) {
  switch (rule) {
    case RetestRule::action_before_repeat:
      return "action before a repeat";
    case RetestRule::replace_at_contractors_cost:
      return "replace at the contractor's cost";
    case RetestRule::owner_may_retest:
      return "owner may retest";
    case RetestRule::failure_may_refuse_whole_cable:
      return "a failure may refuse the whole cable";
  }
  return {};
}

std::string_view text_of(DayCount count) {
  return count == DayCount::calendar ? "calendar days" : "working days";
}

DecisionRule decision_of(const OwnerProfile& profile) { return profile.decision.value_or(DecisionRule{}); }

const RuleRef* record_wanted(const OwnerProfile& profile, RecordField field) {
  const auto at = std::find_if(profile.records.begin(), profile.records.end(),
                               [field](const auto& wanted) { return wanted.value == field; });
  return at == profile.records.end() ? nullptr : &at->source;
}

}  // namespace strandbook
