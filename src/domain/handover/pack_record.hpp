#pragma once
// What goes into the owner's hands besides the judged job: statements for the whole job and enclosed
// documents.

#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "domain/link/instant.hpp"
#include "domain/rulebook/owner_profile.hpp"

namespace strandbook {

struct PackRecord {
  /// What a person states for the whole job where no file has a column for it.
  std::map<RecordField, std::string> statements;
  std::set<HandoverForm> documents;          ///< enclosed as files of their own
  std::set<std::string> acknowledged;        ///< ids of findings that a person saw and went on from
  std::set<std::uint32_t> acted_on;          ///< strands with a note, as indices into the schedule
  std::vector<std::uint32_t> typed_strands;  ///< strands whose counting reading came from no file, ascending
  std::optional<Instant> today;              ///< for deadlines; not looked at where it is empty
};

}  // namespace strandbook
