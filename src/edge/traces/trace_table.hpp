#pragma once
// The open textual form of a trace: "otdr-table 1", settings in lines that begin with #, then distance and
// level. Anyone can export it; docs/traces.md describes it.

#include <string>
#include <string_view>

#include "domain/problem/problem.hpp"
#include "domain/traces/trace.hpp"

namespace strandbook {

bool is_trace_table(std::string_view bytes);
/// A missing setting that a result would rest on is asked for, never invented; every Problem names its row.
Result<Trace> read_trace_table(std::string_view bytes, const std::string& file);
std::string write_trace_table(const Trace& trace);

}  // namespace strandbook
