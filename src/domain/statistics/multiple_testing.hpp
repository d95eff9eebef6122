#pragma once
// Many tests at once: how sure is each finding when thousands of strands were looked at?

#include <cstddef>
#include <span>
#include <vector>

namespace strandbook {

/// Adjusted probabilities of Benjamini and Hochberg, J. R. Statist. Soc. B 57 (1995) 289, in the order given.
/// `tests` is how many were made in all; those not given count as 1. With nothing wrong anywhere, the chance
/// of any adjusted value at or below q is at most q.
std::vector<double> benjamini_hochberg(std::span<const double> probabilities, std::size_t tests);

}  // namespace strandbook
