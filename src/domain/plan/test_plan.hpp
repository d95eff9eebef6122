#pragma once
// Cable schedule to tests due: which wavelengths and directions, under which rule, with which limit.

#include <optional>
#include <vector>

#include "domain/plan/schedule.hpp"
#include "domain/rulebook/limit.hpp"

namespace strandbook {

/// What the job settles for strands whose schedule row does not.
struct PlanSettings {
  const RuleSet* rule = nullptr;
  std::optional<Decibels> fixed_limit;
  std::vector<Nanometres> wavelengths;
  std::optional<DirectionDemand> directions;
  std::vector<DemandRow> demands;  ///< the owner's, by mode; the two above go before them
  std::optional<ReferenceMethod> method;
  std::optional<CordGrade> cords;
  std::optional<Configuration> configuration;
};

/// Tests due on one strand. With `as_observed` no wavelengths are demanded: each one read is a test.
struct StrandPlan {
  const RuleSet* rule = nullptr;  ///< null where only a fixed limit applies
  std::vector<Nanometres> wavelengths;
  DirectionDemand directions = DirectionDemand::either;
  bool as_observed = false;
};

/// Demand of the schedule row, else of the job, else of the owner, else of the rule. The row's own rule must
/// be in the rulebook.
Result<StrandPlan> plan_of(const ScheduledStrand& strand, const Rulebook& rulebook,
                           const PlanSettings& settings);

/// Multimode or single-mode, from the fibre or else from a wavelength only one of them uses.
std::optional<FibreMode> mode_of(const ScheduledStrand& strand, Nanometres wavelength);

/// The question whose answer is this strand's limit at a wavelength, for a reading of the given method.
LimitQuestion question_of(const ScheduledStrand& strand, Nanometres wavelength, const PlanSettings& settings,
                          std::optional<ReferenceMethod> method);

}  // namespace strandbook
