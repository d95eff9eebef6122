#pragma once
// A fibre that ends before its far connection, as traces from one or both ends show it.

#include "domain/traces/held_trace.hpp"

namespace strandbook {

/// Does the strand carry light, by the meter?
enum class MeterLight { unknown, dark, through };

struct BrokenFibre {
  std::optional<Metres> from_a;  ///< where the fibre ends, seen from A
  std::optional<Metres> from_b;
  BothWays seen;      ///< events of each side up to its end; positions from A
  std::string words;  ///< for the technician
};

/// Broken where both sides end short of `scheduled` and together make it, to within 5 % and 2 m as lengths
/// are compared (one break), or where one side ends short of it and the meter saw no light. Null pointers: no
/// trace from that side. Nothing where the traces do not say so, or light came through: then the scheduled
/// length is what is wrong.
std::optional<BrokenFibre> broken_fibre(const HeldTrace* a, const HeldTrace* b, Metres scheduled,
                                        MeterLight light);

}  // namespace strandbook
