#pragma once
// The receiver's answer to a peak falls exponentially behind it. It is known well enough to be taken off, so
// that the fibre can be seen long before the answer is gone.

#include "domain/traces/event_search.hpp"

namespace strandbook {

/// States in `settling` what is taken off behind each peak, adds to `tail_density` how unsure that is, and
/// lets a peak's `until` stand where the fibre can be seen.
void settle_peaks(LinearTrace& light, std::vector<Candidate>& peaks);

}  // namespace strandbook
