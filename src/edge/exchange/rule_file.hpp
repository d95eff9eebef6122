#pragma once
// Rule sets in files: what rules/rule-file.schema.json describes, checked for sense as well as for form.

#include <string>
#include <string_view>

#include "domain/problem/problem.hpp"
#include "domain/rulebook/rule_set.hpp"
#include "edge/exchange/json_node.hpp"

namespace strandbook {

/// One rule set. A Problem names file and line (as row): an unknown key, a wrong unit, a value out of range,
/// a missing standing, two rows that answer one question, a demand that no row can answer, and the like.
Result<RuleSet> read_rule_file(const std::string& path);
/// The same from text; `name` is what Places call it.
Result<RuleSet> read_rule_text(std::string_view text, const std::string& name);
/// The same from a tree, such as a rule that stands inside an owner's profile.
Result<RuleSet> read_rule_tree(const JsonNode& tree, const std::string& name);

/// Every <id>/cabling.json below `folder`, and every own/*.json, in order of their ids. Each id once.
Result<Rulebook> read_rulebook(const std::string& folder);

}  // namespace strandbook
