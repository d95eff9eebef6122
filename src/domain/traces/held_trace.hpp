#pragma once
// A trace as a job holds it: whose it is, how it was taken, and what was found in it. Its samples stay in its
// file.

#include <optional>
#include <string>
#include <vector>

#include "domain/problem/problem.hpp"
#include "domain/traces/two_way.hpp"

namespace strandbook {

struct HeldTrace {
  std::string link;  ///< names of its strand as record or file name give them
  std::string strand;
  std::optional<Direction> direction;  ///< empty: it says none and counts as taken from A
  Nanometres wavelength;
  double pulse_ns = 0;
  GroupIndex index;
  Metres step;                  ///< between samples
  std::optional<Metres> range;  ///< that the samples span; empty in records of earlier programs
  std::optional<Metres> launch;
  std::optional<Metres> receive;
  double averages = 0;  ///< 0 where not stated
  std::optional<Instant> taken;
  std::string instrument;
  std::string operator_name;
  int number = 0;       ///< of the trace within its file, from 0
  TraceLink seen;       ///< what lies between the cords
  Decibels detectable;  ///< smallest step that would have been seen wherever it stood
  EndState end = EndState::found;
  Place at;          ///< the file
  std::string kept;  ///< what its bytes are found by: the file's path, or its hash where a book keeps it

  Direction from() const { return direction.value_or(Direction::a_to_b); }
};

/// `number`: of the trace within its file. Link, strand and direction are those of the record; `at` stays
/// empty.
HeldTrace held_trace(const Trace& trace, const TraceAnalysis& analysis, const TraceLink& link, int number);

/// A strand seen from both sides at one wavelength, or from one.
struct BothWays {
  Metres length;  ///< mean of what the sides show
  std::vector<TwoWayEvent> events;
  std::optional<Measured> loss;  ///< mean of both sums, or the sum of the one side
};

/// How near events of these traces have to stand to be one: the longer pulse and two samples.
Metres event_gate(const HeldTrace& one, const HeldTrace& other);

BothWays both_ways(const HeldTrace& from_a, const HeldTrace& from_b);
/// Events of one side, unbounded: nothing is known of what the other would have shown. Positions from A.
BothWays one_way(const HeldTrace& trace);

}  // namespace strandbook
