#pragma once
// A person saw a finding and goes on: recorded with name and reason, found again whatever its number is then.

#include <cstdint>
#include <optional>
#include <string>

#include "domain/diagnosis/finding.hpp"
#include "workflow/live_job.hpp"

namespace strandbook {

/// The same for the same cause of the same job: its kind, and the reference, link or file that it concerns.
std::string key_of(const Finding& finding);

struct Acknowledgement {
  std::string person;
  std::string reason;
  std::int64_t time_ms = 0;
};
/// The latest acknowledgement of the finding of this key; nothing where nobody saw it.
std::optional<Acknowledgement> acknowledgement_of(const std::vector<Held<Remark>>& remarks,
                                                  const std::string& key);

Result<Recorded> acknowledge(LiveJob& job, const std::string& key, const Ground& ground,
                             const std::string& by = {});

}  // namespace strandbook
