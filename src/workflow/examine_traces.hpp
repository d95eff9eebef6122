#pragma once
// Traces from files to events: read, analysed, seen from the link, both directions together, beside the
// meter.

#include <optional>
#include <string>
#include <vector>

#include "domain/traces/trace_and_meter.hpp"
#include "domain/traces/two_way.hpp"
#include "edge/exchange/trace_json.hpp"
#include "workflow/judge_job.hpp"
#include "workflow/read_traces.hpp"

namespace strandbook {

/// One file: a trace for each pulse width. The file is only read.
Result<std::vector<ExaminedTrace>> examine_trace_file(const std::string& path, const TraceGiven& given);

/// Files, and all files of folders in order of their names; a file that cannot be read is told, never
/// dropped.
ExaminedTraces examine_traces(const std::vector<std::string>& paths, const TraceGiven& given);

/// Two files of one strand from both ends. The first is from A where neither says. With demands each splice
/// is held against the owner's limit.
Result<ExaminedPair> examine_pair(const std::string& from_a, const std::string& from_b,
                                  const TraceGiven& given, const std::vector<SpliceDemand>& demands,
                                  int attempts);

/// Every trace to a strand of the job: by cable and fibre of its record, or by `pattern` over the file's name
/// without its ending, such as "{link}_{strand}_{direction}". They take the place of the job's own traces and
/// are judged as those are; what no strand has is listed.
JoinedTraces join_traces(ExaminedTraces traces, Assessment& all, const std::string& pattern);

}  // namespace strandbook
