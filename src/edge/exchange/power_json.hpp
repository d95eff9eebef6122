#pragma once
// Judged levels of live equipment as JSON.

#include <string>
#include <vector>

#include "domain/applications/power_check.hpp"
#include "edge/exchange/array_json.hpp"

namespace strandbook {

/// One level with its outcome, margins and the numbers it was held against.
void append_level(std::string& out, const CheckedLevel& each);
/// {"format":1,"levels":[...],"unread_rows":[...],"import_notes":[...]}: docs/applications.schema.json
std::string levels_json(const std::vector<CheckedLevel>& levels, const Leftovers& left);

}  // namespace strandbook
