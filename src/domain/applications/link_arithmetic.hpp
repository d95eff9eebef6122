#pragma once
// What the formulas of the link model share.

#include <limits>

namespace strandbook {

inline constexpr double infinity = std::numeric_limits<double>::infinity();

constexpr double squared(double value) { return value * value; }

}  // namespace strandbook
