#pragma once
// Levels of live equipment, from a file or typed, against the window of an application or of the module
// itself.

#include <string>
#include <vector>

#include "domain/applications/power_check.hpp"
#include "domain/applications/power_levels.hpp"
#include "edge/exchange/array_json.hpp"

namespace strandbook {

/// What holds for every row that does not say otherwise.
struct PowerQuestion {
  const Application* application =
      nullptr;  ///< may be null: then the rows, or the numbers below, must say it
  std::optional<PowerDbm> launch_min, launch_max, receive_min, receive_max;  ///< the person's own numbers
  Decibels reserve;
  Decibels expanded_uncertainty;  ///< of a level, k = 2
  GuardBand guard = GuardBand::none;
};

struct PowerCheck {
  std::vector<CheckedLevel> levels;
  Leftovers left;
};

/// A table with a row per port or lane. Columns: port, lane, received, launched, loss of the path; the
/// module's own alarms and warnings; sensitivity, overload, reserve, uncertainty.
Result<PowerCheck> check_power_file(const std::string& path, const PowerQuestion& question,
                                    const PowerLevels& meanings);

/// One level as typed.
CheckedLevel check_level(const LiveLevel& level, const PowerQuestion& question);

bool all_hold(const PowerCheck& check);

}  // namespace strandbook
