#pragma once
// A trace record as traces: one for each pulse width, with distances in metres and levels in decibels.

#include <vector>

#include "domain/traces/trace.hpp"
#include "edge/traces/trace_record.hpp"

namespace strandbook {

/// Every doubt about scale, sign or origin is settled by what the record itself proves, and told in the notes
/// of the trace.
std::vector<Trace> traces_of(const TraceRecord& record);

}  // namespace strandbook
