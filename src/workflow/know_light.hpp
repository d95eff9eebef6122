#pragma once
// What levels of live equipment may mean, and how much light is how dangerous.

#include "domain/applications/hazard.hpp"
#include "domain/applications/power_levels.hpp"
#include "domain/problem/problem.hpp"

namespace strandbook {

struct KnownLight {
  PowerLevels levels;
  HazardTable hazards;
};

/// rules/practice/power-levels.json and rules/iec-60825-2/hazard-levels.json.
Result<KnownLight> know_light();

}  // namespace strandbook
