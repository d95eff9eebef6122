#pragma once
// Parts of a judged job as JSON, in the form of docs/assessment.schema.json: the same for files and screens.

#include <optional>
#include <string>
#include <string_view>

#include "domain/diagnosis/finding.hpp"
#include "domain/verdict/assessment.hpp"
#include "edge/exchange/json_members.hpp"

namespace strandbook {

/// "source", "standing" of a number.
void append_source(JsonMembers& members, const RuleRef& source);
/// ,"working":[...],"rests_on_memory":...,"notes":[...]: what goes with every test of a limit.
std::string limit_members(const Limit& limit);

/// {"planned":...,"pass":...}
std::string summary_json(const Summary& summary);
/// {"change_db":-0.31,...}
std::string evidence_json(const Finding& finding);
/// Everything of a finding but its tests: "id" to "picture". `out` is what `members` writes to.
void append_finding_members(JsonMembers& members, std::string& out, const Finding& finding);
/// Nothing where no wavelength is stated.
inline std::optional<Nanometres> stated(Nanometres wavelength) {
  return wavelength.value > 0 ? std::optional{wavelength} : std::nullopt;
}

/// All members of a test but its limit's; `findings` is a JSON list. The object stays open.
void append_test_members(JsonMembers& members, const Assessment& all, const JudgedTest& test,
                         std::string_view findings);

}  // namespace strandbook
