#include "domain/link/instant.hpp"

#include <fmt/format.h>

#include <chrono>

namespace strandbook {
namespace {

constexpr std::int64_t day = 86400;

std::string time_text(std::int64_t second_of_day) {
  return fmt::format("{:02}:{:02}:{:02}", second_of_day / 3600, second_of_day / 60 % 60, second_of_day % 60);
}

}  // namespace

std::optional<std::int64_t> seconds_between(const Instant& earlier, const Instant& later) {
  if (earlier.dated != later.dated) return std::nullopt;
  return later.seconds - earlier.seconds;
}

std::string iso_text(const Instant& at) {
  const std::int64_t days = at.seconds >= 0 ? at.seconds / day : -((day - 1 - at.seconds) / day);
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
