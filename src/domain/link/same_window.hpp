#pragma once
// Which wavelengths belong together.

#include <cmath>

#include "domain/units/units.hpp"

namespace strandbook {

constexpr Nanometres widest_window{25};  ///< common practice

/// Two wavelengths of one window: a meter's and a trace's, an owner's and a laser's.
inline bool same_window(Nanometres a, Nanometres b) {
  return std::abs(a.value - b.value) <= widest_window.value;
}

}  // namespace strandbook
