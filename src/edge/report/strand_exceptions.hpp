#pragma once
// Each strand beyond a limit by itself: what it is, its tests as budget bars, the findings that name it.

#include "edge/report/sections.hpp"

namespace strandbook {

/// The strands with a test that fails or conditionally fails, in order of the schedule.
std::vector<std::uint32_t> strands_beyond_limit(const ReportedJob& view);

/// A block for each of them, never broken over pages where it fits on one.
void write_strand_exceptions(const ReportPass& pass);

}  // namespace strandbook
