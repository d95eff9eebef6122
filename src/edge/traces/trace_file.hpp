#pragma once
// A file with traces in whichever form it is.

#include <string>
#include <string_view>
#include <vector>

#include "domain/problem/problem.hpp"
#include "domain/traces/trace.hpp"

namespace strandbook {

struct TraceFile {
  std::vector<Trace> traces;      ///< one for each pulse width
  std::vector<Problem> warnings;  ///< what was amiss in the file
};

/// `bytes` of the trace record, version 1 or 2, or of an otdr-table.
Result<TraceFile> read_trace_file(std::string_view bytes, const std::string& file);

}  // namespace strandbook
