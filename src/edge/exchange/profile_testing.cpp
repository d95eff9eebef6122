// What is tested, and what is decided near the limit.

#include <algorithm>

#include "edge/exchange/profile_parts.hpp"
#include "edge/exchange/profile_reader.hpp"
#include "edge/exchange/rule_rows.hpp"

namespace strandbook {
namespace {

constexpr std::array guards = {GuardBand::none, GuardBand::expanded_uncertainty};
constexpr std::array acceptances = {Acceptance::accepted, Acceptance::refused};
constexpr std::array test_conditions = {TestCondition::closures_shut, TestCondition::every_strand,
                                        TestCondition::respliced_strands_too};
constexpr std::array stages = {BuildStage::factory, BuildStage::on_arrival, BuildStage::while_building,
                               BuildStage::after_laying, BuildStage::final_acceptance};

std::optional<DecisionRule> read_decision(const JsonNode* node, RuleDesk& desk) {
  if (node == nullptr) return std::nullopt;
  ObjectReader object(*node, desk);
  DecisionRule rule;
  rule.guard = wanted_choice(object, "guard", guards).value_or(rule.guard);
  rule.conditional_pass =
      wanted_choice(object, "conditional_pass", acceptances).value_or(rule.conditional_pass);
  rule.conditional_fail =
      wanted_choice(object, "conditional_fail", acceptances).value_or(rule.conditional_fail);
  rule.source = read_source(object);
  if (rule.conditional_pass == Acceptance::refused && rule.conditional_fail == Acceptance::accepted)
    desk.tell(node->line, "conditional pass refused but conditional fail accepted",
              "a decision that takes the better of the two first");
  object.finish();
  return rule;
}

std::optional<RuleRef> read_mean(const JsonNode* node, const OwnerProfile& profile, RuleDesk& desk) {
  if (node == nullptr) return std::nullopt;
  ObjectReader object(*node, desk);
  const RuleRef source = read_source(object);
  object.finish();
  const auto of_both = [](const DemandRow& row) { return row.directions == DirectionDemand::both; };
  if (!profile.demands.empty() && std::none_of(profile.demands.begin(), profile.demands.end(), of_both))
    desk.tell(node->line, "a mean of both directions, where \"demands\" wants only one",
              "\"directions\": \"both\" in a row of \"demands\"");
  return source;
}

std::optional<LongSpanDemand> read_long_spans(const JsonNode* node, RuleDesk& desk) {
  if (node == nullptr) return std::nullopt;
  ObjectReader object(*node, desk);
  const SourcedNumber above = read_number(object.wanted("above"), length_number, desk);
  LongSpanDemand spans{{{above.value}, above.source}, {}};
  for (const double at : plain_numbers(object.wanted("counted_nm"), wavelength_number, desk))
    spans.counted.push_back({at});
  object.finish();
  return spans;
}

}  // namespace

void read_testing(ObjectReader& object, OwnerProfile& profile) {
  RuleDesk& desk = object.desk();
  profile.demands =
      read_demands(object.maybe("demands"), profile.own_rule ? &*profile.own_rule : nullptr, desk);
  profile.decision = read_decision(object.maybe("decision"), desk);
  profile.mean_of_directions = read_mean(object.maybe("mean_of_directions"), profile, desk);
  profile.reference_method = maybe_sourced_choice(object, "reference_method", "method", reference_methods);
  profile.conditions = read_sourced_choices(object.maybe("conditions"), "condition", test_conditions, desk);
  profile.stages = read_sourced_choices(object.maybe("stages"), "stage", stages, desk);
  profile.long_spans = read_long_spans(object.maybe("long_spans"), desk);
}

}  // namespace strandbook
