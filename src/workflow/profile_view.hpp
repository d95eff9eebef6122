#pragma once
// An owner's profile as a person reads it: every demand with its source.

#include "domain/rulebook/owner_profile.hpp"
#include "workflow/rule_view.hpp"

namespace strandbook {

/// Sections without rows are left out. Those of the profile's own rule stand behind the profile's.
std::vector<RuleSection> sections_of(const OwnerProfile& profile);

/// What a list of profiles says of one.
std::string profile_line_json(const OwnerProfile& profile);
/// Every demand with its source.
std::string profile_json(const OwnerProfile& profile);

}  // namespace strandbook
