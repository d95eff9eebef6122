#pragma once
// Each strand beyond a limit by itself: what it is, its tests as budget bars, the findings that name it.

#include "edge/report/sections.hpp"

namespace strandbook {

/// Up to this many strands have a page each; of more, those beyond a limit have a block each.
inline constexpr std::size_t most_strand_pages = 50;

struct StrandExceptions {
  std::vector<std::uint32_t> strands;  ///< in order of the schedule
  bool a_page_each = false;
};
/// The strands with a test that fails, conditionally fails or is invalid; without those that are only invalid
/// where there are too many.
StrandExceptions strand_exceptions(const ReportedJob& view);

/// A page or a block for each of them; a block is never broken over pages where it fits on one.
void write_strand_exceptions(const ReportPass& pass);

}  // namespace strandbook
