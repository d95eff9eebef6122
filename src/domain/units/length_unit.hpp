#pragma once
// The unit in which a person writes and reads lengths. Inside, every length is in metres.

#include <string_view>

namespace strandbook {

enum class LengthUnit { metres, feet };

constexpr std::string_view text_of(LengthUnit unit) { return unit == LengthUnit::metres ? "m" : "ft"; }

}  // namespace strandbook
