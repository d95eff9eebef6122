#pragma once
// What stands on the page of one strand below its bars: why there is no verdict, the working of the tightest
// limit, every reading that was taken, the findings that name the strand and the next step.

#include <span>

#include "edge/report/sections.hpp"

namespace strandbook {

/// Per strand of the schedule, what its page needs: an index, so that a large job is not searched once for
/// each.
struct StrandRecords {
  std::vector<std::vector<std::uint32_t>> readings;  ///< indices into the readings, as they were recorded
  std::vector<std::vector<std::uint32_t>> findings;  ///< indices into the findings
};
StrandRecords records_of(const ReportedJob& view, const std::vector<std::uint32_t>& strands);

/// `tests`: those of the strand.
void write_exception_details(const ReportPass& pass, std::uint32_t strand,
                             std::span<const std::uint32_t> tests, const StrandRecords& records);

}  // namespace strandbook
