#pragma once
// Detectors of one link's table. Each is a pure function of the table; what it finds it hands to `out`.

#include "domain/diagnosis/block.hpp"
#include "domain/diagnosis/suspects.hpp"

namespace strandbook {

/// Strands that a detector has explained: later ones leave them out.
using Explained = std::vector<bool>;

/// Longer wavelength losing more than the shorter one: exchanged columns, or a bend of one strand.
void detect_wavelengths(const LinkTable& table, Explained& explained, Suspects& out);
/// A to B unlike B to A: crossed strands, mixed cores, a dirty end at one side.
void detect_directions(const LinkTable& table, Explained& explained, Suspects& out);
/// A strand that loses more than its neighbours at every wavelength.
void detect_unlike(const LinkTable& table, const Explained& explained, Suspects& out);
/// Less loss than the fibre alone must have.
void detect_below_fibre(const LinkTable& table, Suspects& out);
/// Measured against scheduled length.
void detect_lengths(const LinkTable& table, Suspects& out);
/// Readings too alike to have been measured one by one.
void detect_alike(const LinkTable& table, Explained& explained, Suspects& out);
/// A whole link beyond its limit by less than one connection or a pair of splices.
void detect_limit_count(const LinkTable& table, Suspects& out);
/// A few tests missing in a link that is otherwise done.
void detect_gaps(const LinkTable& table, Suspects& out);

}  // namespace strandbook
