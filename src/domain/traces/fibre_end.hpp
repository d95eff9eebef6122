#pragma once
// Where the fibre ends: a tail of the detector, an echo and noise are no fibre.

#include "domain/traces/analysis_ground.hpp"

namespace strandbook {

/// From where only the tail of the last peak is left; the size of the trace where there is fibre behind it.
std::size_t dark_behind_peaks(const TraceGround& ground, const std::vector<Candidate>& peaks);
/// The light may end without a peak: then the last line still promises light where there is none.
std::optional<Candidate> dark_end(const TraceGround& ground, const std::vector<Candidate>& peaks);
/// Cuts marks and sections at the event behind which no more fibre is seen. The peaks behind that are
/// echoes; they join `beyond`.
EndState settle_end(TraceGround& ground, std::vector<Candidate>& beyond);

}  // namespace strandbook
