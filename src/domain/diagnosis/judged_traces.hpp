#pragma once
// Traces of a job, strand by strand: both directions together, held against the owner's splice limits, beside
// the meter's loss and the scheduled length. The meter decides the outcome; nothing here changes it.

#include <string>
#include <vector>

#include "domain/rulebook/owner_profile.hpp"
#include "domain/traces/broken_fibre.hpp"
#include "domain/traces/held_trace.hpp"
#include "domain/traces/trace_and_meter.hpp"
#include "domain/verdict/assessment.hpp"

namespace strandbook {

/// What an owner's profile asks of traces.
struct TraceDemands {
  std::optional<OtdrDemand> otdr;
  std::vector<SpliceDemand> splices;
};

/// The mean loss of a span's splices against the owner's limit of it.
struct JudgedSpan {
  SpliceVerdict verdict = SpliceVerdict::open;
  Sourced<Decibels> limit;
  std::optional<Decibels> mean;  ///< over the splices that both directions show
  std::size_t splices = 0;       ///< how many these are
};

/// The traces of one strand in one window of wavelengths.
struct JudgedTraces {
  std::uint32_t strand = 0;
  Nanometres wavelength;              ///< of the first trace
  std::vector<std::uint32_t> traces;  ///< indices into Assessment::traces, by time of taking
  std::uint32_t from_a = nothing;     ///< of those the one that counts: the latest
  std::uint32_t from_b = nothing;     ///< likewise
  BothWays seen;                      ///< of the ones that count
  std::vector<JudgedSplice> splices;  ///< beside seen.events; empty where the owner asks nothing of splices
  std::optional<JudgedSpan> span;     ///< where the owner limits the mean of a span
  std::uint32_t test = nothing;       ///< index into Assessment::tests: the meter's worst loss here
  MeterAgreement agreement;
  std::optional<BrokenFibre> broken;  ///< then `seen` is its
  std::string length_note;            ///< empty where length and schedule agree
  bool near_end_measured = false;     ///< the connection at A, from whichever side
  bool far_end_measured = false;
};

/// One entry for each strand and window that has a trace, in order of the schedule, then wavelength.
std::vector<JudgedTraces> judge_traces(const Assessment& all, const TraceDemands& demands);

/// Traces that no strand has, and what to do.
std::vector<Problem> unplaced_traces(const Assessment& all);

}  // namespace strandbook
