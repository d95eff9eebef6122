#pragma once
// For tests of references, which hold for hours: times are in seconds.

#include <cstdint>

namespace strandbook {

inline constexpr std::int64_t hour = 3600;

}  // namespace strandbook
