#pragma once
// Where a trace is not a straight line: peaks, and steps without a peak.

#include <vector>

#include "domain/traces/line_fit.hpp"
#include "domain/traces/linear_trace.hpp"

namespace strandbook {

/// A place where the fibre seems to begin anew.
struct Candidate {
  double start = 0;       ///< samples, leading edge
  std::size_t until = 0;  ///< first sample from which the trace may be straight again
  bool peak = false;
  bool dark_behind = false;  ///< the light stops here without a peak
  double strength = 0;       ///< in standard deviations
  bool echo = false;         ///< no place on the fibre: the light of other peaks explains it
};

/// Rising edges that fall again after about a pulse, each held against the noise and the light on both sides.
std::vector<Candidate> find_peaks(const LinearTrace& trace);

/// Noise and fading from how block means of neighbouring stretches differ, by medians: a few events do no
/// harm.
void estimate_densities(LinearTrace& trace, std::size_t light_end, const std::vector<Candidate>& peaks);

/// Past this sample no light of the fibre stands out of the noise, echoes apart; the size of the trace where
/// it never sinks.
std::size_t light_end_of(const LinearTrace& trace);

/// Steps between `from` and `to`: the best set of them by an exact search over the strongest places of
/// several scales, where each must be worth `penalty` units of squared misfit.
std::vector<Candidate> find_steps(const LinearTrace& trace, const LineSums& lines, SampleRange range,
                                  SlopePrior prior, double penalty);

}  // namespace strandbook
