#pragma once
// A splice that was made, or made again: which strand's it is, and that it can be one.

#include "domain/plan/schedule.hpp"
#include "domain/problem/problem.hpp"
#include "domain/readings/site_records.hpp"

namespace strandbook {

/// The attempt under the schedule's own names of its strand. A Problem where the schedule has no such strand,
/// where the place is none of it, or where the number is no attempt (1 to 20).
Result<SpliceAttempt> placed_attempt(const Schedule& schedule, SpliceAttempt attempt);

}  // namespace strandbook
