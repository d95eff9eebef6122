#pragma once
// The splices that traces of a strand show, against the owner's limits: each by how often it was made, and
// the mean of all.

#include <map>
#include <string>
#include <vector>

#include "domain/diagnosis/judged_traces.hpp"

namespace strandbook {

/// The attempts recorded in a job, by strand. Views into the assessment, which must live on.
class SpliceAttempts {
 public:
  explicit SpliceAttempts(const Assessment& all);
  /// In the order of the book.
  std::vector<const SpliceAttempt*> of(const ScheduledStrand& strand) const;

 private:
  std::map<std::string, std::vector<const SpliceAttempt*>> by_strand_;
};

/// Fills `splices` and `span` from `seen`; leaves them empty where the owner asks nothing of splices and
/// no attempt is recorded. An
/// attempt belongs to the nearest joint within the gate of events and two per cent of the length: fibre is
/// longer than its sheath (own judgement). A splice that was made again after it was traced stays open.
void judge_splices(const Assessment& all, const SpliceAttempts& attempts,
                   const std::vector<SpliceDemand>& demands, JudgedTraces& judged);

/// Recorded attempts at splices of strands that the schedule does not name, and what to do.
std::vector<Problem> unplaced_attempts(const Assessment& all);

}  // namespace strandbook
