#include "edge/traces/trace_file.hpp"

#include "edge/traces/record_map.hpp"
#include "edge/traces/record_traces.hpp"
#include "edge/traces/trace_table.hpp"

namespace strandbook {

Result<TraceFile> read_trace_file(std::string_view bytes, const std::string& file) {
  if (is_trace_table(bytes)) {
    Result<Trace> trace = read_trace_table(bytes, file);
    if (!trace) return trace.problem();
    TraceFile read;
    read.traces.push_back(std::move(*trace));
    return read;
  }
  Result<TraceRecord> record = read_trace_record(bytes, file);
  if (!record) return record.problem();
  TraceFile read{traces_of(*record), std::move(record->warnings)};
  if (read.traces.empty())
    return record_problem(file, "FxdParams", "no sample step or too few samples",
                          "a step above 0 and 16 samples",
                          "The file is cut off or damaged. Export the trace again.");
  return read;
}

}  // namespace strandbook
