#pragma once
// Hazard levels of open fibre ends, from its data file.

#include <string>
#include <string_view>

#include "domain/applications/hazard.hpp"
#include "domain/problem/problem.hpp"

namespace strandbook {

/// A file in the form of rules/iec-60825-2/hazard-levels.json; a Problem names file and line.
Result<HazardTable> read_hazards(const std::string& path);
Result<HazardTable> read_hazards_text(std::string_view text, const std::string& name);

}  // namespace strandbook
