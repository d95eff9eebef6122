#pragma once
// Analysed traces as JSON: docs/traces.schema.json.

#include <optional>
#include <string>
#include <vector>

#include "domain/problem/problem.hpp"
#include "domain/traces/trace_and_meter.hpp"
#include "domain/traces/trace_place.hpp"
#include "domain/traces/two_way.hpp"

namespace strandbook {

struct ExaminedTrace {
  std::string file;
  Trace trace;
  TraceAnalysis analysis;
  TraceLink link;
  std::vector<Problem> warnings;     ///< of the whole file
  std::vector<PlaceInTrace> places;  ///< that were asked for
};

struct ExaminedTraces {
  std::vector<ExaminedTrace> traces;
  std::vector<Problem> unread;  ///< files that hold no trace, and why
};

struct ExaminedPair {
  ExaminedTrace from_a;
  ExaminedTrace from_b;
  Metres length;  ///< mean of what both sides show
  std::vector<TwoWayEvent> events;
  std::vector<JudgedSplice> splices;  ///< as long as `events` where the owner's limits were asked for
  std::optional<Measured> mean_loss;  ///< of the link
};

/// A strand at one wavelength: its traces and its meter.
struct JoinedStrand {
  std::string link;
  std::string strand;
  Nanometres wavelength;
  std::vector<std::size_t> traces;     ///< indices into ExaminedTraces::traces
  std::optional<Decibels> meter_loss;  ///< worse of what was read at this wavelength
  std::optional<Decibels> limit;
  MeterAgreement agreement;
  std::string length_note;  ///< empty where length and schedule agree
};

struct JoinedTraces {
  ExaminedTraces examined;
  std::vector<JoinedStrand> strands;
  std::vector<Problem> unmatched;  ///< traces that no strand has
};

std::string trace_json(const ExaminedTraces& traces);
std::string trace_pair_json(const ExaminedPair& pair);
std::string trace_join_json(const JoinedTraces& joined);

}  // namespace strandbook
