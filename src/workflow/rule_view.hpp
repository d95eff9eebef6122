#pragma once
// A rule set as a person reads it: every number with its unit, source and standing.

#include <string>
#include <vector>

#include "domain/problem/problem.hpp"
#include "domain/rulebook/rule_set.hpp"

namespace strandbook {

struct RuleRow {
  std::string what;
  std::string value;
  std::string unit;
  RuleRef source;
};
struct RuleSection {
  std::string title;
  std::vector<RuleRow> rows;
};
/// A value or wavelength as a row shows it: "0.35", "1310".
std::string row_number_text(double value);

/// Sections without rows are left out.
std::vector<RuleSection> sections_of(const RuleSet& rule);

/// A section as the service and the command line write it.
void append_section_json(std::string& out, const RuleSection& section);

/// The file of a shipped rule as it is.
Result<std::string> shipped_rule_text(const std::string& id);

}  // namespace strandbook
