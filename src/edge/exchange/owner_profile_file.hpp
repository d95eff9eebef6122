#pragma once
// Owners' profiles in files: what rules/owner-profile.schema.json describes, checked for sense as well as for
// form.

#include <string>
#include <string_view>
#include <vector>

#include "domain/problem/problem.hpp"
#include "domain/rulebook/owner_profile.hpp"

namespace strandbook {

/// A profile with the texts that a book keeps of it.
struct ProfileFile {
  OwnerProfile profile;
  std::string text;           ///< the whole file
  std::string own_rule_text;  ///< its own rule as a rule file; empty where it has none
};

/// A Problem names file and line (as row): an unknown key, a demand without its source, a wrong unit, a value
/// out of range, two demands that answer one question, a wavelength for which the own rule has no limit.
Result<ProfileFile> read_profile_file(const std::string& path);
/// The same from text; `name` is what Places call it.
Result<ProfileFile> read_profile_text(std::string_view text, const std::string& name);

/// Every NAME.json of `folder`, which must hold owner:NAME, in order of their ids.
Result<std::vector<ProfileFile>> read_profiles(const std::string& folder);

}  // namespace strandbook
