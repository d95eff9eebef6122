#pragma once
// What the tests of judging share.

#include "domain/rulebook/rule_set.hpp"

namespace strandbook {

inline constexpr std::int64_t hour = 3600;

/// 3.0 / 1.5 dB/km, 0.75 dB a connection, 0.3 dB a splice; multimode at 850 and 1300 nm.
inline RuleSet owner_rule(DirectionDemand directions = DirectionDemand::either) {
  RuleSet rule;
  rule.id = "own:hall";
  const RuleRef own{"owner's specification", "1", "4.2", Standing::own, ""};
  rule.attenuation = {{FibreCategory::om4, Plant::unstated, {850}, {3.0}, own},
                      {FibreCategory::om4, Plant::unstated, {1300}, {1.5}, own}};
  rule.connections = {{FibreMode::multimode, ConnectionPlace::embedded, {}, {0.75}, own},
                      {FibreMode::multimode, ConnectionPlace::end, {}, {0.75}, own}};
  rule.splices = {{FibreMode::multimode, {0.3}, own}};
  rule.reference_joins = {{FibreMode::multimode, {}, {0.75}, own}};
  rule.demands = {{FibreMode::multimode, {{850}, {1300}}, directions, own}};
  return rule;
}

}  // namespace strandbook
