#pragma once
// A detector forgets a strong light slowly: its tail lies over the fibre behind a reflection. The same tail
// follows every peak of a trace, so that all of them together tell it, and it can be taken off.

#include <vector>

#include "domain/traces/line_fit.hpp"
#include "domain/traces/linear_trace.hpp"

namespace strandbook {

/// A stretch without events; `fibre` is false behind the end, where nothing but tails and noise is left.
struct Straight {
  SampleRange samples;
  bool fibre = true;
};

/// Learns the tail, as a sum of exponentials of fixed lengths and shares of 0 or more, from how the stretches
/// differ from straight lines; then rewrites `power` from `shown` without it.
void remove_tails(LinearTrace& trace, const std::vector<Straight>& stretches, SlopePrior prior);

}  // namespace strandbook
