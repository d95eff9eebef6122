#pragma once
// How much light at an open fibre end belongs to which hazard level, as a caution for whoever uncovers it.
// The numbers come from rules/iec-60825-2/hazard-levels.json.

#include <optional>
#include <string>
#include <vector>

#include "domain/applications/application.hpp"
#include "domain/link/link.hpp"
#include "domain/units/units.hpp"

namespace strandbook {

/// Upper limits of the total power out of one end, all lanes of an array together.
struct HazardRow {
  FibreMode mode = FibreMode::single_mode;
  Nanometres wavelength;
  std::string place;  ///< what the limit is for: "fibre end, numerical aperture 0.18"
  std::optional<Sourced<PowerDbm>> level_1;
  std::optional<Sourced<PowerDbm>> level_1m;  ///< safe to the bare eye, not through a magnifier
  std::optional<Sourced<PowerDbm>> level_3b;
};

struct HazardTable {
  std::vector<HazardRow> rows;
  std::vector<std::string> cautions;  ///< to be shown wherever a level is
};

}  // namespace strandbook
