#pragma once
// Which reading may stand for which application wavelength.

#include <span>
#include <vector>

#include "domain/link/link.hpp"
#include "domain/rulebook/rule_ref.hpp"
#include "domain/units/units.hpp"

namespace strandbook {

/// A reading at `reading` may stand for application wavelengths from `from` to `to`, ends included.
struct TestWindow {
  FibreMode mode = FibreMode::multimode;
  Nanometres reading;
  Nanometres from;
  Nanometres to;
  /// At application wavelengths shorter than the reading's, the rise of the fibre's own attenuation is added.
  bool adds_rise = false;
  RuleRef source;
};

using TestWindows = std::vector<TestWindow>;

/// Attenuation of fibre against wavelength, as a shape: a(λ) is proportional to 1.05 + (0.00094·λ)^−4, λ in
/// nm, 800 to 1400. IEEE 802.3ae link model workbook 10GEPBud3_1_16a (2001), attenuation.
double attenuation_shape(Nanometres at);

}  // namespace strandbook
