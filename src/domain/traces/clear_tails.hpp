#pragma once
// Takes the detector's tails off a trace, which needs to know events, which needs the tails off: twice.

#include "domain/traces/analysis_ground.hpp"

namespace strandbook {

/// Rewrites the light of `ground` without tails. The second look finds smaller steps than the first could.
void clear_tails(TraceGround& ground, const std::vector<Candidate>& peaks);

}  // namespace strandbook
