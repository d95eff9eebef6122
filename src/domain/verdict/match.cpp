#include "domain/verdict/match.hpp"

namespace strandbook {
namespace {

UnmatchedReading unmatched(const Schedule& schedule, std::uint32_t reading, const NameMatch& guess) {
  UnmatchedReading row{reading, "strand is not in the schedule", {}, {}};
  if (guess.strand == no_strand) return row;
  row.proposal = name_of(schedule[guess.strand]);
  row.by = describe_repairs(guess.repairs);
  return row;
}

/// Second look at the readings whose names are not in the schedule letter for letter.
void resolve_misspelt(const Schedule& schedule, const ReadingSet& readings, NameRepairs confirmed,
                      const std::vector<std::uint32_t>& missed, Matched& matched) {
  const NameGuesser guesser(schedule);
  for (const std::uint32_t i : missed) {
    const NameMatch guess = guesser.guess(readings.rows[i].link, readings.rows[i].strand);
    const bool allowed = guess.strand != no_strand && (guess.repairs & ~confirmed) == 0;
    if (!allowed) {
      matched.unmatched.push_back(unmatched(schedule, i, guess));
      continue;
    }
    matched.strand_of[i] = guess.strand;
    matched.tidied.push_back(i);
  }
}

}  // namespace

Matched match_readings(const Schedule& schedule, const ReadingSet& readings, NameRepairs confirmed) {
  const StrandIndex index(schedule);
  Matched matched;
  matched.strand_of.resize(readings.rows.size(), no_strand);
  std::vector<std::uint32_t> missed;
  const Reading* previous = nullptr;
  std::uint32_t found = no_strand;
  for (std::uint32_t i = 0; i < readings.rows.size(); ++i) {
    const Reading& reading = readings.rows[i];
    // Crews read a strand at all its wavelengths before the next one.
    const bool same =
        previous != nullptr && previous->strand == reading.strand && previous->link == reading.link;
    if (!same) found = index.find(reading.link, reading.strand);
    previous = &reading;
    matched.strand_of[i] = found;
    if (found == no_strand) missed.push_back(i);
  }
  if (!missed.empty()) resolve_misspelt(schedule, readings, confirmed, missed, matched);
  return matched;
}

ByStrand group_by_strand(const std::vector<std::uint32_t>& strand_of, std::size_t strands) {
  ByStrand groups;
  groups.starts.assign(strands + 1, 0);
  for (const std::uint32_t strand : strand_of)
    if (strand != no_strand) ++groups.starts[strand + 1];
  for (std::size_t s = 0; s < strands; ++s) groups.starts[s + 1] += groups.starts[s];
  groups.order.resize(groups.starts[strands]);
  std::vector<std::uint32_t> next(groups.starts.begin(), groups.starts.end() - 1);
  for (std::uint32_t i = 0; i < strand_of.size(); ++i)
    if (strand_of[i] != no_strand) groups.order[next[strand_of[i]]++] = i;
  return groups;
}

}  // namespace strandbook
