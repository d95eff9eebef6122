#pragma once
// Readings to strands: where each belongs, and what to say of those that belong nowhere.

#include <vector>

#include "domain/plan/strand_index.hpp"
#include "domain/verdict/assessment.hpp"

namespace strandbook {

struct Matched {
  std::vector<std::uint32_t> strand_of;  ///< per reading; no_strand where unmatched
  std::vector<UnmatchedReading> unmatched;
  std::vector<std::uint32_t> tidied;  ///< readings matched although case or blanks differed
};

Matched match_readings(const Schedule& schedule, const ReadingSet& readings, NameRepairs confirmed);

/// Readings of each strand side by side: those of strand s are order[starts[s]] .. order[starts[s + 1] − 1],
/// in the order in which they were read in.
struct ByStrand {
  std::vector<std::uint32_t> starts;
  std::vector<std::uint32_t> order;
};
ByStrand group_by_strand(const std::vector<std::uint32_t>& strand_of, std::size_t strands);

}  // namespace strandbook
