#pragma once
// Dates and times as records write them.

#include <cstdint>
#include <optional>
#include <string_view>

#include "domain/link/instant.hpp"

namespace strandbook {

/// A date whose first two numbers are day and month in an order that only the rest of the file may tell.
enum class DatePattern : std::uint8_t {
  none,          ///< no date, only a time of day
  fixed,         ///< order beyond doubt: ISO, dots, month by name, or day equal to month
  day_first,     ///< "13/04/2026" proves itself
  month_first,   ///< "04/13/2026" proves itself
  either_order,  ///< "03/04/2026"
};

/// Both readings of a moment; equal where there is no doubt.
struct WrittenMoment {
  DatePattern pattern = DatePattern::none;
  Instant day_first;
  Instant month_first;
};

/// Reads the whole of `text` (trimmed): ISO 8601 with or without time and offset (brought to UTC),
/// "4.4.2026", "13/04/26 8:12 pm", "5 Apr 2026", "08:12". Years with two digits are 20xx. Years 1980 to 2199.
/// Nothing where it is no moment.
std::optional<WrittenMoment> read_moment(std::string_view text);

/// Puts a time of day onto a date.
Instant joined(const Instant& date, const Instant& time_of_day);

}  // namespace strandbook
