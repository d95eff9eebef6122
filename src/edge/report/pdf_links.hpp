#pragma once
// Link areas, added to a finished PDF: cairo 1.16 writes a broken cross-reference where it adds them itself.

#include <string>

#include "domain/problem/problem.hpp"
#include "edge/report/flow.hpp"

namespace strandbook {

/// Copies `plain` to `linked` with the links of the trail. `page_height` in points. The result's bytes depend
/// on the input alone.
Result<Done> add_links(const std::string& plain, const std::string& linked, const Trail& trail,
                       double page_height);

}  // namespace strandbook
