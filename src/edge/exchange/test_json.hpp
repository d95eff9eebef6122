#pragma once
// One judged test as JSON, in the form of docs/assessment.schema.json: the same for files and for screens.

#include <string>
#include <string_view>

#include "domain/verdict/assessment.hpp"
#include "edge/exchange/json_members.hpp"

namespace strandbook {

/// ,"working":[...],"rests_on_memory":...,"notes":[...]: what goes with every test of a limit.
std::string limit_members(const Limit& limit);

/// All members of a test but its limit's; `findings` is a JSON list. The object stays open.
void append_test_members(JsonMembers& members, const Assessment& all, const JudgedTest& test,
                         std::string_view findings);

}  // namespace strandbook
