#pragma once
// What is usual of the fibre of a wavelength, before the trace itself has spoken.

#include "domain/traces/line_fit.hpp"

namespace strandbook {

/// What fibres of this window usually have, dB/km; broad, so that the trace itself decides (categories of
/// ITU-T G.652 and IEC 60793-2-10; common practice).
SlopePrior usual_slope(const TraceSettings& settings);
/// How far fibres of one link differ from each other, dB/km.
double slope_spread(const TraceSettings& settings);

}  // namespace strandbook
