#pragma once
// Steps that the JSON of arrays, cords and end faces share.

#include <string>
#include <vector>

#include "domain/applications/application.hpp"
#include "edge/exchange/array_json.hpp"
#include "edge/exchange/json_members.hpp"

namespace strandbook {

/// "unread_rows" and "import_notes", the last members, and the end.
void finish_check(std::string& out, JsonMembers& members, const Leftovers& left);
void append_texts(std::string& out, const std::vector<std::string>& texts);
void append_source(std::string& out, const RuleRef& source);
void append_loss(std::string& out, const LossJudgement& loss);

}  // namespace strandbook
