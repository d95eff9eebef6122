#pragma once
// A person saw a finding and goes on: recorded with name and reason, found again whatever its number is then.

#include <optional>
#include <string>

#include "domain/diagnosis/finding.hpp"
#include "workflow/live_job.hpp"

namespace strandbook {

/// The same for the same cause of the same job: its kind, and the reference, link or file that it concerns.
std::string key_of(const Finding& finding);

struct Acknowledged {
  std::string key;
  std::string reason;
};
/// What an acknowledgement says of which finding; nothing where the remark is about something else.
std::optional<Acknowledged> acknowledged_by(const Remark& remark);

/// The latest acknowledgement of this key, or null.
const Held<Remark>* acknowledgement_of(const std::vector<Held<Remark>>& remarks, const std::string& key);

Result<Recorded> acknowledge(LiveJob& job, const std::string& key, const Ground& ground,
                             const std::string& by = {});

}  // namespace strandbook
