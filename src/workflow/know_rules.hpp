#pragma once
// The published rules, the job's own, and the numbers of practice: everything a limit or outcome rests on.

#include <memory>
#include <string>
#include <vector>

#include "domain/problem/problem.hpp"
#include "domain/rulebook/rule_set.hpp"
#include "edge/exchange/practice_file.hpp"

namespace strandbook {

struct KnownRules {
  std::shared_ptr<const Rulebook> rulebook;  ///< assessments point into it
  Practice practice;
};

/// Where the shipped rules are: STRANDBOOK_RULES, else rules/ beside or above the program, else share/.
Result<std::string> find_rules_folder();

/// Rules that the job brings: paths of rule files, and whole texts of them.
struct OwnRules {
  std::vector<std::string> files;
  std::vector<std::string> texts;
};

/// Shipped rules with the job's own rule files behind them; each id once.
Result<KnownRules> know_rules(const OwnRules& own_rules, const std::string& uncertainty_file);

/// A rule by its id, or a Problem that lists the ids there are.
Result<const RuleSet*> rule_by_id(const Rulebook& rulebook, const std::string& id);

}  // namespace strandbook
