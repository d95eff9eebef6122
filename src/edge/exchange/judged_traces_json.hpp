#pragma once
// Traces of a judged job as JSON: the same members in the assessment's file and on the screens.

#include <string>

#include "domain/diagnosis/judged_traces.hpp"
#include "edge/exchange/json_members.hpp"

namespace strandbook {

/// Members of one trace: how it was taken and what it shows by itself.
void add_held_trace(JsonMembers& members, const HeldTrace& trace);
/// Members of a strand's traces: both ways, splices, beside the meter.
void add_judged_traces(JsonMembers& members, std::string& out, const Assessment& all,
                       const JudgedTraces& judged);

}  // namespace strandbook
