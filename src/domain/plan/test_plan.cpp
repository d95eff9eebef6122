#include "domain/plan/test_plan.hpp"

#include "domain/link/same_window.hpp"
#include "domain/rulebook/rule_lookup.hpp"

namespace strandbook {
namespace {

std::optional<FibreMode> mode_at(Nanometres wavelength) {
  if (wavelength.value <= 0) return std::nullopt;
  return mode_tested_at(wavelength);
}

std::optional<FibreMode> mode_of_row(const ScheduledStrand& strand) {
  if (strand.fibre) return mode_of(*strand.fibre);
  return strand.wavelengths.empty() ? std::nullopt : mode_at(strand.wavelengths.front());
}

const DemandRow* demand_for(const RuleSet* rule, const PlanSettings& settings,
                            std::optional<FibreMode> mode) {
  if (!mode) return nullptr;
  if (const DemandRow* owners = demand_on(settings.demands, *mode)) return owners;
  return rule == nullptr ? nullptr : demand_on(rule->demands, *mode);
}

/// The job's wavelengths that the strand's fibre can carry: one list may serve both kinds of fibre.
std::vector<Nanometres> suited(const std::vector<Nanometres>& wavelengths, std::optional<FibreMode> mode) {
  if (!mode) return wavelengths;
  std::vector<Nanometres> list;
  for (const Nanometres each : wavelengths)
    if (mode_at(each) == mode) list.push_back(each);
  return list.empty() ? wavelengths : list;
}

Problem unknown_rule(const ScheduledStrand& strand, const Rulebook& rulebook) {
  std::string known;
  for (const RuleSet& rule : rulebook) known += (known.empty() ? "" : ", ") + rule.id;
  return {strand.at, "rule \"" + strand.rule + "\"", "one of " + known,
          "Correct the rule in the schedule, or bring its file with --rule-file."};
}

}  // namespace

std::optional<FibreMode> mode_of(const ScheduledStrand& strand, Nanometres wavelength) {
  return strand.fibre ? mode_of(*strand.fibre) : mode_at(wavelength);
}

Result<StrandPlan> plan_of(const ScheduledStrand& strand, const Rulebook& rulebook,
                           const PlanSettings& settings) {
  StrandPlan plan;
  plan.rule = strand.rule.empty() ? settings.rule : find_rule(rulebook, strand.rule);
  if (!strand.rule.empty() && plan.rule == nullptr) return unknown_rule(strand, rulebook);
  const auto mode = mode_of_row(strand);
  const DemandRow* demand = demand_for(plan.rule, settings, mode);
  if (!strand.wavelengths.empty())
    plan.wavelengths = strand.wavelengths;
  else if (!settings.wavelengths.empty())
    plan.wavelengths = suited(settings.wavelengths, mode);
  else if (demand != nullptr)
    plan.wavelengths = demand->wavelengths;
  plan.as_observed = plan.wavelengths.empty();
  if (strand.directions)
    plan.directions = *strand.directions;
  else if (settings.directions)
    plan.directions = *settings.directions;
  else if (demand != nullptr)
    plan.directions = demand->directions;
  return plan;
}

LimitQuestion question_of(const ScheduledStrand& strand, Nanometres wavelength, const PlanSettings& settings,
                          std::optional<ReferenceMethod> method) {
  LimitQuestion question;
  question.fibre = strand.fibre;
  question.plant = strand.plant;
  question.length = strand.length;
  question.connections = strand.connections;
  question.splices = strand.splices;
  question.wavelength = wavelength;
  question.method = method;
  question.cords = strand.cords ? strand.cords : settings.cords;
  question.configuration = strand.configuration ? strand.configuration : settings.configuration;
  return question;
}

}  // namespace strandbook
