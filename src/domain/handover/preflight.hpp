#pragma once
// Before a job leaves the site: what the owner would send it back for, and the step that mends each.

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "domain/diagnosis/finding.hpp"
#include "domain/handover/pack_record.hpp"

namespace strandbook {

/// What is handed over, as it was judged.
struct JobToHandOver {
  const std::string& name;
  const Assessment& assessment;
  const std::vector<Finding>& findings;
  std::size_t unread_rows = 0;  ///< rows of files that were kept but not used
};

/// Why the pack would come back, or might.
enum class Objection : std::uint8_t {
  refused,  ///< what is recorded does not meet what is demanded
  missing,  ///< it is demanded, and nothing of it is recorded
  by_hand,  ///< no record of ours can show it: a person sees to it
};
std::string_view text_of(Objection objection);  // "refused", "missing", "by hand"

struct PreflightItem {
  std::string kind;  ///< stable key: "outcome", "record", "form", "deadline", ...
  Objection objection = Objection::missing;
  std::string what;
  std::string step;                    ///< that mends it
  std::string demand;                  ///< where it is demanded; empty where it goes without saying
  std::vector<std::uint32_t> strands;  ///< indices into the schedule, ascending; empty: the whole job
  std::string about = {};  ///< the field or form that a statement or a document settles; may be empty
};

/// Refused first, then missing, then what a person sees to; within these in the order of the work. `profile`
/// is null where the owner gave none: then only what every owner expects is looked at. Nothing is taken for
/// recorded that is not in the job or in `pack`.
std::vector<PreflightItem> preflight(const JobToHandOver& job, const DecisionRule& decision,
                                     const OwnerProfile* profile, const PackRecord& pack);

/// True where nothing is refused or missing.
bool may_leave(const std::vector<PreflightItem>& items);

}  // namespace strandbook
