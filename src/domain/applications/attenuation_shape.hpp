#pragma once
// How the attenuation of fibre goes with wavelength.

#include "domain/units/units.hpp"

namespace strandbook {

/// A shape without unit: attenuation is proportional to 1.05 + (0.00094·λ)^−4, λ in nm, 800 to 1400.
/// IEEE 802.3ae link model workbook 10GEPBud3_1_16a (2001), attenuation.
constexpr double attenuation_shape(Nanometres at) {
  const double squared = 0.00094 * at.value * (0.00094 * at.value);
  return 1.05 + 1 / (squared * squared);
}

}  // namespace strandbook
