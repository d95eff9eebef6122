#pragma once
// What levels of live equipment may mean, from its data file.

#include <string>
#include <string_view>

#include "domain/applications/power_levels.hpp"
#include "domain/problem/problem.hpp"

namespace strandbook {

/// A file in the form of rules/practice/power-levels.json; a Problem names file and line.
Result<PowerLevels> read_power_levels(const std::string& path);
Result<PowerLevels> read_power_levels_text(std::string_view text, const std::string& name);

}  // namespace strandbook
