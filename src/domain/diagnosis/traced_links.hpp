#pragma once
// Findings about traces are told link by link: strands for which the same was found stand together.

#include <map>
#include <string>
#include <vector>

#include "domain/diagnosis/judged_traces.hpp"
#include "domain/diagnosis/suspects.hpp"

namespace strandbook {

inline constexpr const char* trace_caution =
    "An OTDR sends invisible light and live fibre destroys it: treat every port as live until it is measured "
    "dark, and never look into a fibre.";

inline constexpr const char* splice_caution =
    "Cleaved ends of fibre are glass shards: wear eye protection and gather every one. The arc of a fusion "
    "splicer works under high voltage and lights flammable vapour. Treat every fibre as live until it is "
    "measured dark, and never look into one.";

/// Strands of one link for which the same was found.
struct TracedStrands {
  std::vector<const JudgedTraces*> of;
  std::vector<std::uint32_t> strands;
};
using ByLink = std::map<std::string, TracedStrands>;

void put(ByLink& links, const Assessment& all, const JudgedTraces& judged);
/// A finding without its words.
Finding about_link(const Assessment& all, const char* kind, const std::string& name,
                   const TracedStrands& link);

/// Splices against the owner's limits: beyond, let stand by the relaxed one, made again and not yet traced,
/// and the mean of a span.
void detect_splices(const Assessment& all, const std::vector<JudgedTraces>& judged, Suspects& out);

}  // namespace strandbook
