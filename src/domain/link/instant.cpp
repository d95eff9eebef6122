#include "domain/link/instant.hpp"

#include <fmt/format.h>

#include <charconv>
#include <chrono>

namespace strandbook {
namespace {

constexpr std::int64_t day = 86400;

std::int64_t days_of(const Instant& at) {
  return at.seconds >= 0 ? at.seconds / day : -((day - 1 - at.seconds) / day);
}

std::string time_text(std::int64_t second_of_day) {
  return fmt::format("{:02}:{:02}:{:02}", second_of_day / 3600, second_of_day / 60 % 60, second_of_day % 60);
}

}  // namespace

std::optional<std::int64_t> seconds_between(const Instant& earlier, const Instant& later) {
  if (earlier.dated != later.dated) return std::nullopt;
  return later.seconds - earlier.seconds;
}

Instant day_of(const Instant& at, std::int64_t later_days) {
  return {(days_of(at) + later_days) * day, true, false, false};
}

std::optional<Instant> parse_iso_day(std::string_view text) {
  constexpr std::size_t written = 10;
  if (text.size() != written || text[4] != '-' || text[7] != '-') return std::nullopt;
  const auto number = [text](std::size_t at, std::size_t digits) {
    unsigned value = 0;
    const char* end = text.data() + at + digits;
    const auto read = std::from_chars(text.data() + at, end, value);
    return read.ptr == end ? value : 0;
  };
  const std::chrono::year_month_day date{std::chrono::year{static_cast<int>(number(0, 4))},
                                         std::chrono::month{number(5, 2)}, std::chrono::day{number(8, 2)}};
  if (!date.ok()) return std::nullopt;
  return Instant{std::chrono::sys_days{date}.time_since_epoch().count() * day, true, false, false};
}

std::string iso_text(const Instant& at) {
  const std::int64_t days = days_of(at);
  std::string time = time_text(at.seconds - days * day);
  if (!at.dated) return time;
  const std::chrono::year_month_day date{std::chrono::sys_days{std::chrono::days{days}}};
  std::string text = fmt::format("{:04}-{:02}-{:02}", static_cast<int>(date.year()),
                                 static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()));
  if (at.timed) text += "T" + time;
  if (at.timed && at.zoned) text += "Z";
  return text;
}

}  // namespace strandbook
