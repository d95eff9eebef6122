#pragma once
// Light at the resolution that the pulse has: samples far closer than a pulse say nothing new of each other.

#include "domain/traces/linear_trace.hpp"
#include "domain/traces/trace_analysis.hpp"

namespace strandbook {

/// Light whose samples are means of `factor` neighbours, at least eight to a pulse; 1 leaves it as it was.
struct PulseGrid {
  std::size_t factor = 1;
  Trace frame;  ///< settings, first and step of the means; holds no samples
};

/// Joins neighbours of `light`; a mean with a full sample in it is full.
PulseGrid join_samples(const Trace& trace, LinearTrace& light);
/// Ranges of joined samples become ranges of the trace's own.
void restore_ranges(const PulseGrid& grid, TraceAnalysis& analysis);

}  // namespace strandbook
