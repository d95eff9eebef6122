#pragma once
// What a trace says of one place: a drawing has a splice at 62 m; was it measured, and what does it lose?

#include <optional>
#include <string>

#include "domain/traces/trace_link.hpp"

namespace strandbook {

struct PlaceInTrace {
  Metres asked;                        ///< from the first connection of the link
  std::optional<LinkEvent> event;      ///< that was found there
  std::optional<Decibels> detectable;  ///< smallest step that would have been seen here, where none was found
  std::string not_measured;            ///< why the trace proves nothing here; empty where it does
};

/// An event counts as the one asked for within two pulses and 3 % of the distance: drawings are no better.
PlaceInTrace look_at_place(const Trace& trace, const TraceAnalysis& analysis, const TraceLink& link,
                           Metres place);

/// "0.280 ± 0.001 dB (k = 2), loss at 61.2 m", "no step of 0.003 dB or more", "not measured: ..."
std::string describe(const PlaceInTrace& place);

}  // namespace strandbook
