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

/// One exponential of the tail.
struct TailPart {
  double share = 0;   ///< of all light
  double length = 1;  ///< samples in which it falls to 1/e
};

/// Tails as learnt, with how well they explain the stretches.
struct TailsFound {
  std::vector<TailPart> parts;
  double misfit = 0;         ///< weighted squares left over
  double rows = 0;           ///< samples that were asked
  std::size_t left_out = 0;  ///< stretches that no tail explains
};
/// Weighted squares that a sample leaves over where all is explained: neighbours know of each other.
inline constexpr double usual_misfit = 0.4;

/// Samples in which the slowest tail that is looked for falls to 1/e (usual detectors; common practice).
double longest_tail(const LinearTrace& trace);

/// Learns the tail, as a sum of a few exponentials, from how the stretches differ from straight lines; then
/// rewrites `power` from `shown` without it, and says how sure that is. `start` is what an earlier look
/// found.
TailsFound remove_tails(LinearTrace& trace, const std::vector<Straight>& stretches, SlopePrior prior,
                        const std::vector<TailPart>& start);

}  // namespace strandbook
