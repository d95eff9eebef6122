#pragma once
// Where a number comes from and how far it may be trusted. It travels with the number to the report.

#include <string>
#include <string_view>

namespace strandbook {

enum class Standing {
  checked,          ///< compared with the published document itself
  seen_in_extract,  ///< read in a published extract or secondary text, not in the document
  common_practice,  ///< a fact of the trade
  own,              ///< the owner's or the job's own number
  from_memory,      ///< recalled; awaits checking, and every outcome that rests on it says so
};

std::string_view text_of(
    Standing standing);  // "checked", "seen in extract", "common practice", "own", "from memory"

struct RuleRef {
  std::string document;  ///< "ISO/IEC 14763-3"
  std::string edition;   ///< "2024"
  std::string clause;    ///< clause, table or equation; may be empty
  Standing standing = Standing::from_memory;
  std::string note;  ///< disagreement between sources, how it was read
  bool operator==(const RuleRef&) const = default;
};

/// "ISO/IEC 14763-3:2024, limit table (seen in extract)"
std::string describe(const RuleRef& ref);

}  // namespace strandbook
