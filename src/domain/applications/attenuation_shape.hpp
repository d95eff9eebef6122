#pragma once
// How the attenuation of fibre goes with wavelength.

#include <cmath>

#include "domain/units/units.hpp"

namespace strandbook {

/// Attenuation is proportional to floor + (per_nm·λ)^−4, λ in nm, 800 to 1400. Equation (1) of
/// docs/link-model.md; the numbers stand in rules/ieee-802.3-link-model.
struct AttenuationShape {
  double floor = 0;
  double per_nm = 0;
  double at(Nanometres wavelength) const { return floor + std::pow(per_nm * wavelength.value, -4); }
};

}  // namespace strandbook
