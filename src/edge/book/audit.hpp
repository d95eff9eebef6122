#pragma once
// Who recorded what, fact by fact.

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "edge/book/store.hpp"

namespace strandbook {

struct AuditLine {
  Fact fact;
  std::string by;       ///< person and device that came in over the network; may be empty
  std::string summary;  ///< one line, as in a strand's history
};

/// The latest facts, the last first; with `before`, those that come before that fact.
Result<std::vector<AuditLine>> audit(const Store& store, const std::optional<Uuid>& before, std::size_t most);

}  // namespace strandbook
