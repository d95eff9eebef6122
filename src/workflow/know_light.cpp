#include "workflow/know_light.hpp"

#include "edge/exchange/hazard_file.hpp"
#include "edge/exchange/power_levels_file.hpp"
#include "workflow/know_rules.hpp"

namespace strandbook {

Result<KnownLight> know_light() {
  const Result<std::string> folder = find_rules_folder();
  if (!folder) return folder.problem();
  Result<PowerLevels> levels = read_power_levels(*folder + "/practice/power-levels.json");
  if (!levels) return levels.problem();
  Result<HazardTable> hazards = read_hazards(*folder + "/iec-60825-2/hazard-levels.json");
  if (!hazards) return hazards.problem();
  return KnownLight{std::move(*levels), std::move(*hazards)};
}

}  // namespace strandbook
