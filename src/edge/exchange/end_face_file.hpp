#pragma once
// Zones of an end face and the marks allowed in them, from rules/iec-61300-3-35-2015.

#include <string>
#include <string_view>

#include "domain/applications/end_face.hpp"
#include "domain/problem/problem.hpp"

namespace strandbook {

/// A Problem names file and line (as row): a kind, zone and mark twice or not at all, bands that do not rise
/// or do not end open, an unknown key, a missing standing, and the like.
Result<EndFaceLimits> read_end_face_limits(const std::string& path);
Result<EndFaceLimits> read_end_face_limits_text(std::string_view text, const std::string& name);

}  // namespace strandbook
