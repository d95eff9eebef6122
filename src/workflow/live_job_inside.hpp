#pragma once
// What a LiveJob holds, and what guards it.

#include <atomic>
#include <memory>
#include <mutex>
#include <optional>
#include <set>
#include <shared_mutex>
#include <string>
#include <utility>
#include <vector>

#include "domain/diagnosis/engine.hpp"
#include "edge/book/newer_readings.hpp"
#include "workflow/live_job.hpp"

namespace strandbook {

/// Whether a reading names its strand as the strand's own row does.
inline bool is_own_name(const LiveJudgement& judgement, const Reading& reading) {
  const std::uint32_t at = judgement.find(reading.link, reading.strand);
  if (at == no_strand) return false;
  const ScheduledStrand& strand = judgement.all().schedule[at];
  return reading.link == link_name(strand) && reading.strand == strand.strand;
}

struct LiveJob::Inside {
  /// A trace that counts, with all that its file does not say.
  struct TraceToRead {
    LookedAtTrace looked;
    TraceGiven given;
    std::string kept;
    int number = 0;
  };

  OpenBook book;    ///< writes; only under `writing`
  OpenBook reader;  ///< looks into the book while others write; only under `reading`
  std::mutex writing;
  mutable std::mutex reading;

  mutable std::shared_mutex held;  ///< guards all that follows
  std::uint64_t revision = 0;
  BookState state;  ///< schedule, references and readings are in `judgement` where there is one
  std::shared_ptr<const Rulebook> rulebook;
  std::unique_ptr<LiveJudgement> judgement;
  std::optional<Problem> problem;
  std::int64_t outside_version = 0;
  BookReach reach;                      ///< up to where `state` knows the book
  std::set<Uuid> since;                 ///< what was recorded here since
  std::atomic<bool> names_stale{true};  ///< a name was recorded that `names` may not know

  std::optional<OtherNames> names;  ///< for history; guarded by `reading`

  DiagnosisPractice diagnosis;
  TraceDemands trace_demands;
  mutable std::mutex finding;
  mutable std::unique_ptr<FindingEngine> engine;
  mutable std::vector<std::uint32_t> changed_strands;  ///< since the engine last looked
  mutable bool all_changed = true;

  mutable std::mutex tracing;                                                           ///< guards `examined`
  mutable std::vector<std::pair<Uuid, std::shared_ptr<const ExaminedTrace>>> examined;  ///< oldest first

  Result<TraceToRead> trace_to_read(const Uuid& fact) const;
  Result<ExaminedTrace> read_trace(const TraceToRead& wanted) const;
  JobView view() const;
  void judge();
  const Findings& present_findings() const;
  void note(const JudgementChange& change);
  Result<Done> load();
  Result<std::vector<Subject>> names_of(const std::string& link, const std::string& strand);
  std::optional<Recorded> recorded_before(const std::string& entry) const;
};

}  // namespace strandbook
