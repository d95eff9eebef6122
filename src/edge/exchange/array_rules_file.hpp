#pragma once
// Maps of arrays, ways to build channels of them, and group indices, from rules/array-polarity.

#include <string>
#include <string_view>

#include "domain/applications/array_lanes.hpp"
#include "domain/applications/array_map.hpp"
#include "domain/problem/problem.hpp"

namespace strandbook {

struct ArrayRules {
  ArrayMaps maps;
  GroupIndexTable group_indices;
  std::vector<std::string> cautions;  ///< to be read before a connector is looked at
};

/// A Problem names file and line (as row): a position twice or out of range, a part nobody describes, an
/// unknown key, a missing standing, and the like.
Result<ArrayRules> read_array_rules(const std::string& path);
Result<ArrayRules> read_array_rules_text(std::string_view text, const std::string& name);

}  // namespace strandbook
