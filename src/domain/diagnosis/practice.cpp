#include "domain/diagnosis/practice.hpp"

#include <algorithm>
#include <cmath>

namespace strandbook {

const TypicalAttenuation* typical_at(const DiagnosisPractice& practice, std::optional<FibreCategory> fibre,
                                     Nanometres wavelength) {
  constexpr double same_wavelength_nm = 15;  // 1383 and 1390 nm name one window
  if (!fibre) return nullptr;
  for (const TypicalAttenuation& row : practice.attenuation)
    if (std::abs(row.wavelength.value - wavelength.value) <= same_wavelength_nm &&
        std::find(row.fibres.begin(), row.fibres.end(), *fibre) != row.fibres.end())
      return &row;
  return nullptr;
}

}  // namespace strandbook
