#pragma once
// Which row of a rule set answers a question. A row that names the plant or the cords' grade wins over a row
// that names none; a row that names none holds for every one, and for a question that states none.

#include <optional>
#include <string>
#include <vector>

#include "domain/rulebook/rule_set.hpp"

namespace strandbook {

/// The rows below are null where the rule set has no answer.
const AttenuationRow* attenuation_row(const RuleSet& rule, FibreCategory fibre, Plant plant, Nanometres at);
const ConnectionRow* connection_row(const RuleSet& rule, FibreMode mode, ConnectionPlace place,
                                    std::optional<CordGrade> cords);
const SpliceRow* splice_row(const RuleSet& rule, FibreMode mode);
const ReferenceJoinRow* reference_join_row(const RuleSet& rule, FibreMode mode,
                                           std::optional<CordGrade> cords);
const LengthCeilingRow* length_ceiling_row(const RuleSet& rule, FibreMode mode);
const WavelengthAlias* alias_row(const RuleSet& rule, FibreMode mode, Nanometres found);
const ConfigurationDefault* configuration_row(const RuleSet& rule, ReferenceMethod method);
const DemandRow* demand_on(const std::vector<DemandRow>& demands, FibreMode mode);
/// The closest row: one that names the wavelength, then one that names the mode, then one for everything.
const RuleSet::WholeLinkLimit* whole_link_row(const RuleSet& rule, std::optional<FibreMode> mode,
                                              Nanometres at);

/// Does the rule set ask for the plant of this fibre at this wavelength?
bool depends_on_plant(const RuleSet& rule, FibreCategory fibre, Nanometres at);
/// Does the rule set tell grades of test cords apart at the ends?
bool depends_on_cords(const RuleSet& rule, FibreMode mode);

/// What the rule set has for the fibre ("850, 1300 nm"), or for every fibre where it has nothing for this one
/// ("OM1 (850, 1300 nm), OS2 (1310, 1550 nm)").
std::string attenuation_offered(const RuleSet& rule, FibreCategory fibre);

}  // namespace strandbook
