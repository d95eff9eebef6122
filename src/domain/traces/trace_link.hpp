#pragma once
// A trace seen from the link: cords taken off, distances from the first connection.

#include <optional>
#include <string>
#include <vector>

#include "domain/traces/trace_analysis.hpp"

namespace strandbook {

/// An event of the link, counted from its first connection.
struct LinkEvent {
  EventKind kind = EventKind::loss;
  Metres position;
  Metres until;  ///< up to here nothing else can be told apart
  std::optional<Measured> loss;
  std::optional<Decibels> reflectance;
  bool saturated = false;
};

struct TraceLink {
  std::vector<LinkEvent> events;  ///< ghosts and cords left out, but for a cord that is not seen
  Metres start;                   ///< of the link, from the panel
  Metres length;
  /// Where the fibre ends, counted as events are; empty where a receive cord is seen or the end is not.
  std::optional<Metres> ends;
  std::optional<Measured>
      loss;  ///< all that lies between the cords, the end connections that are seen included
  bool near_end_measured = false;  ///< a launch cord shows the first connection
  bool far_end_measured = false;   ///< a receive cord shows the last one
  Metres blind;                    ///< from the start of the link up to here nothing is measured
  std::vector<std::string> notes;
};

/// Takes launch and receive cord off. A cord is where its length says, to within 3 % and two pulses; where no
/// event is found there, a note says so and the end is not measured.
TraceLink link_of(const Trace& trace, const TraceAnalysis& analysis);

}  // namespace strandbook
