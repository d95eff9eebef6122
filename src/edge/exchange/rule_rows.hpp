#pragma once
// The tables of a rule file, row by row. A row of the file that lists several fibres, modes, places or
// wavelengths stands for one row of the rule set each.

#include "domain/rulebook/rule_set.hpp"
#include "edge/exchange/rule_reader.hpp"

namespace strandbook {

/// Each reads the table `node`; an absent table (null) is an empty one.
std::vector<AttenuationRow> read_attenuation(const JsonNode* node, RuleDesk& desk);
std::vector<ConnectionRow> read_connections(const JsonNode* node, RuleDesk& desk);
std::vector<SpliceRow> read_splices(const JsonNode* node, RuleDesk& desk);
std::vector<ReferenceJoinRow> read_reference_joins(const JsonNode* node, RuleDesk& desk);
std::vector<LengthCeilingRow> read_length_ceilings(const JsonNode* node, RuleDesk& desk);
std::vector<ConfigurationDefault> read_configuration_defaults(const JsonNode* node, RuleDesk& desk);
std::vector<FixedTermRow> read_fixed_terms(const JsonNode* node, RuleDesk& desk);
std::vector<RuleSet::WholeLinkLimit> read_whole_link_limits(const JsonNode* node, RuleDesk& desk);
std::optional<StatisticalBudget> read_statistical(const JsonNode* node, RuleDesk& desk);
std::optional<ReferenceMethod> read_method(const JsonNode* node, RuleDesk& desk);

/// These refer to wavelengths: `rule` must hold its attenuation and whole-link limits already. A null rule is
/// one that this file does not hold: it answers for itself.
std::vector<DemandRow> read_demands(const JsonNode* node, const RuleSet* rule, RuleDesk& desk);
std::vector<WavelengthAlias> read_aliases(const JsonNode* node, const RuleSet& rule, RuleDesk& desk);

}  // namespace strandbook
