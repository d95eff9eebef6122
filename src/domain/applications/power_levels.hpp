#pragma once
// What a level that live equipment reports may mean other than light of that level: no light at all, a lane
// that is not used, a minus sign left out. The numbers come from rules/practice/power-levels.json.

#include <cmath>
#include <string>
#include <vector>

#include "domain/applications/application.hpp"
#include "domain/rulebook/rule_ref.hpp"
#include "domain/units/units.hpp"

namespace strandbook {

/// How far apart the lanes of one application may lie and still be in order.
struct LaneImbalance {
  std::string application;
  Sourced<Decibels> launch;
  Sourced<Decibels> receive;
};

struct PowerLevels {
  Sourced<PowerDbm> no_light;          ///< this and everything below is a floor of the display, not a level
  Sourced<Milliwatts> no_light_power;  ///< this power, where no level stands beside it, is no light either
  std::vector<std::string> no_light_words;  ///< "-inf": texts that stand for it, in lower case
  RuleRef words_source;
  /// Exactly this, received and launched, on a lane of a module of several lanes: the lane is not used.
  Sourced<PowerDbm> unused_lane;
  Sourced<PowerDbm> implausible_receive;  ///< a received level above this has probably lost its minus sign
  std::vector<LaneImbalance> lane_imbalances;
};

/// What a meter reads above the mean lane when it sees `lanes` wavelengths at once: 10·log10(lanes) dB.
inline Decibels sum_of_lanes(int lanes) { return {10 * std::log10(lanes)}; }

}  // namespace strandbook
