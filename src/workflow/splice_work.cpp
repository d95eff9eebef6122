#include "workflow/splice_work.hpp"

#include <fmt/format.h>

#include "domain/plan/strand_index.hpp"

namespace strandbook {

Result<SpliceAttempt> placed_attempt(const Schedule& schedule, SpliceAttempt attempt) {
  constexpr int most_attempts = 20;
  constexpr double longest_slack = 1.2;  // fibre is longer than its sheath, and coils lie in closures
  const std::uint32_t at = StrandIndex(schedule).find(attempt.link, attempt.strand);
  if (at == no_strand)
    return Problem{{},
                   fmt::format("strand {}/{}", attempt.link, attempt.strand),
                   "a strand of the schedule",
                   "Name it as the schedule does."};
  const ScheduledStrand& strand = schedule[at];
  if (attempt.attempt < 1 || attempt.attempt > most_attempts)
    return Problem{{},
                   fmt::format("attempt {}", attempt.attempt),
                   fmt::format("a number from 1 to {}", most_attempts),
                   "The first time a splice is made is attempt 1."};
  const bool beyond = strand.length && attempt.from_a.value > longest_slack * strand.length->value;
  if (attempt.from_a.value < 0 || beyond)
    return Problem{{},
                   fmt::format("a splice {:g} m from A", attempt.from_a.value),
                   strand.length ? fmt::format("a place on the link, {:g} m long", strand.length->value)
                                 : std::string("a place on the link"),
                   "Count in metres from the connection at A."};
  attempt.link = link_name(strand);
  attempt.strand = strand.strand;
  return attempt;
}

}  // namespace strandbook
