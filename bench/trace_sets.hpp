#pragma once
// The nine sets of links that traces are scored on. The same seed gives the same set on every machine.

#include <string>

#include "trace_forward.hpp"

namespace forward {

struct Case {
  Link link;
  Instrument instrument;
  double backscatter_db = -80;  ///< what the instrument is told of the first fibre
  double launch_m = 0;
  double receive_m = 0;
};

/// P premises, C campus, O outside plant, N event-free, B mismatched fibres, W bends at two wavelengths, G
/// ghosts, S saturated, F robustness (traces as in P; the bytes are what is tried).
inline constexpr const char* set_names = "PCONBWGSF";

Case draw_case(char set, Dice& dice);
/// The same link at another wavelength: bends lose more, fibre loses less.
Case at_longer_wavelength(const Case& one, Dice& dice);

}  // namespace forward
