#pragma once
// What stands between two cursors on a trace.

#include <optional>

#include "domain/traces/trace.hpp"
#include "domain/traces/trace_analysis.hpp"

namespace strandbook {

struct TraceReadout {
  Metres from;  ///< from the panel, the nearer one
  Metres to;
  Decibels level_from;  ///< of the sample there, one way
  Decibels level_to;
  Decibels two_point;                   ///< level_from − level_to: whatever lies between
  std::optional<Measured> attenuation;  ///< dB/km of the least-squares line through all samples between
  std::optional<Decibels> line_loss;    ///< what that line falls from one to the other
  std::optional<Decibels> residual;     ///< standard deviation of the samples about it
  std::size_t samples = 0;
};

/// Cursors beyond the samples are taken back to them. The line needs three samples that hold light; its
/// uncertainty is that of ordinary least squares, for noise that differs from sample to sample.
TraceReadout readout(const Trace& trace, Metres one, Metres other);

}  // namespace strandbook
