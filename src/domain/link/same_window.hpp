#pragma once
// Which wavelengths belong together.

#include <cmath>

#include "domain/link/link.hpp"
#include "domain/units/units.hpp"

namespace strandbook {

constexpr Nanometres widest_window{25};  ///< common practice

/// Two wavelengths of one window: a meter's and a trace's, an owner's and a laser's.
inline bool same_window(Nanometres a, Nanometres b) {
  return std::abs(a.value - b.value) <= widest_window.value;
}

/// Single-mode cabling is tested from 1310 nm up, multimode at 850, 953 and 1300 nm (common practice).
constexpr FibreMode mode_tested_at(Nanometres wavelength) {
  return wavelength.value < 1305 ? FibreMode::multimode : FibreMode::single_mode;
}

}  // namespace strandbook
