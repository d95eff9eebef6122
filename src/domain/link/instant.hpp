#pragma once
// A moment as a record tells it: with or without a date, with or without an offset from UTC.

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace strandbook {

/// Seconds since 1970-01-01T00:00:00 on the clock of the record, brought to UTC where the record names an
/// offset. `dated` is false where only a time of day was written; then `seconds` counts from midnight.
/// `timed` is false where only a date was written; then `seconds` is the midnight that begins it.
struct Instant {
  std::int64_t seconds = 0;
  bool dated = true;
  bool timed = true;
  bool zoned = false;
  bool operator==(const Instant&) const = default;
};

/// Seconds from `earlier` to `later`; nothing where one has a date and the other has none.
std::optional<std::int64_t> seconds_between(const Instant& earlier, const Instant& later);

/// The day of a dated moment; later by so many days.
Instant day_of(const Instant& at, std::int64_t later_days = 0);

/// "2026-04-05"; nothing where it is no day of the calendar.
std::optional<Instant> parse_iso_day(std::string_view text);

/// ISO 8601 text of what is known: "2026-04-05T13:12:00Z", "2026-04-05T08:12:00", "2026-04-05", "08:12:00".
std::string iso_text(const Instant& at);

}  // namespace strandbook
