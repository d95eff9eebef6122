#pragma once
// Every test of a job with its outcome: what `assess` prints, the report shows and the screens draw.

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "domain/plan/schedule.hpp"
#include "domain/readings/reading.hpp"
#include "domain/rulebook/limit.hpp"
#include "domain/traces/held_trace.hpp"
#include "domain/verdict/continuity.hpp"
#include "domain/verdict/outcome.hpp"

namespace strandbook {

/// Why a test is *not tested* or *invalid*, or fails whatever its loss.
enum class Reason : std::uint8_t {
  none,
  no_reading,
  no_light,             ///< the meter saw nothing: open strand or not connected
  no_reference,         ///< a level without any reference it may be subtracted from
  ambiguous_reference,  ///< several references could be meant
  reference_after_reading,
  reference_expired,             ///< older than the practice file allows
  reference_setting_differs,     ///< the meter's wavelength key was not the same at reference and reading
  reference_instrument_differs,  ///< other source, meter or cords than at the reference
  reference_drifted,             ///< opening and closing reference differ by more than allowed
  reference_disproved,           ///< the batch under this reference gains light
  method_unstated,
  methods_differ,    ///< schedule and reference name different methods
  impossible_value,  ///< loss below what a passive link can show
  no_limit,          ///< the rule has no value, or the schedule does not give what it counts
  light_crossed,     ///< light sent into this strand came out of another one
  light_lost,        ///< light sent into this strand came out nowhere
};

/// A sentence for a technician: what is wrong and what to do next.
std::string_view sentence_of(Reason reason);

inline constexpr std::uint32_t nothing = 0xffffffff;

struct JudgedTest {
  std::uint32_t strand = 0;               ///< index into Assessment::schedule
  std::uint32_t reading = nothing;        ///< index into readings of the one that counts
  std::uint32_t reference = nothing;      ///< index into references
  std::uint32_t limit = nothing;          ///< index into Assessment::limits
  std::uint32_t limit_problem = nothing;  ///< index into limit_problems where there is no limit
  std::uint32_t other_readings = 0;       ///< how many more were taken and are kept
  Nanometres wavelength;
  Decibels loss;                       ///< meaningful where has_loss
  Decibels standard_uncertainty;       ///< u (k = 1), meaningful where has_loss
  Decibels shared_uncertainty;         ///< the part of u that every reading under this reference shares
  double conformance = 0;              ///< probability, 0 to 1
  std::optional<Direction> direction;  ///< empty: either direction was due and none was read
  Outcome outcome = Outcome::not_tested;
  Reason reason = Reason::no_reading;
  bool has_loss = false;

  bool judged() const { return outcome != Outcome::not_tested && outcome != Outcome::invalid; }
};

struct Summary {
  std::size_t planned = 0;
  std::array<std::size_t, 6> by_outcome{};  ///< indexed by Outcome
  std::size_t count(Outcome outcome) const { return by_outcome[static_cast<std::size_t>(outcome)]; }
};

/// A reading that belongs to no planned test, and what it may have meant.
struct UnmatchedReading {
  std::uint32_t reading = 0;
  std::string why;       ///< "strand is not in the schedule", "wavelength is not in the plan", ...
  std::string proposal;  ///< "BB-01-10"; empty where nothing is like it. Never applied by itself.
  std::string by;        ///< how the names are alike: "letter for digit", "padding", ...
};

struct Assessment {
  Schedule schedule;
  std::vector<Reference> references;
  ReadingSet readings;
  SiteRecords records;
  ContinuityMap continuity;
  std::vector<HeldTrace> traces;
  std::vector<std::uint32_t> trace_strands;  ///< per trace: index into schedule, or no_strand
  std::vector<const RuleSet*> rules;         ///< the rule sets that gave limits
  std::vector<Limit> limits;
  std::vector<Problem> limit_problems;   ///< why a limit could not be worked out
  std::vector<JudgedTest> tests;         ///< in schedule order, then wavelength, then direction
  std::vector<std::uint32_t> strand_of;  ///< per reading: index into schedule, or no_strand
  std::vector<UnmatchedReading> unmatched;
  std::vector<std::uint32_t>
      tidied;  ///< readings whose names differed in case or blanks, or in a confirmed way
  GuardBand guard = GuardBand::none;
  Summary summary;
};

/// The worse of two outcomes; both directions are kept and the worse one decides for the strand.
/// From best to worst: pass, conditional pass, conditional fail, not tested, invalid, fail.
Outcome worse(Outcome a, Outcome b);

}  // namespace strandbook
