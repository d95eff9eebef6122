#include "edge/exchange/cell_time.hpp"

#include <array>
#include <chrono>
#include <string>

#include "edge/exchange/cell_text.hpp"

namespace strandbook {
namespace {

constexpr std::int64_t day_seconds = 86400;

/// Reads a text from the front.
class Scanner {
 public:
  explicit Scanner(std::string_view text) : rest_(text) {}
  bool at_end() const { return rest_.empty(); }
  char peek() const { return rest_.empty() ? '\0' : rest_.front(); }
  bool take(char c) {
    if (peek() != c || rest_.empty()) return false;
    rest_.remove_prefix(1);
    return true;
  }
  void skip_blanks() {
    while (take(' ')) {
    }
  }
  /// Unsigned number of `least` to `most` digits.
  std::optional<int> number(std::size_t least, std::size_t most) {
    std::size_t n = 0;
    int value = 0;
    while (n < rest_.size() && n < most && is_digit(rest_[n])) value = value * 10 + (rest_[n++] - '0');
    if (n < least || (n < rest_.size() && is_digit(rest_[n]))) return std::nullopt;
    digits_ = n;
    rest_.remove_prefix(n);
    return value;
  }
  /// Exactly two digits, whatever follows.
  std::optional<int> pair() {
    if (rest_.size() < 2 || !is_digit(rest_[0]) || !is_digit(rest_[1])) return std::nullopt;
    const int value = (rest_[0] - '0') * 10 + (rest_[1] - '0');
    rest_.remove_prefix(2);
    return value;
  }
  std::size_t digits() const { return digits_; }
  std::string word() {
    std::size_t n = 0;
    while (n < rest_.size() &&
           (is_letter(rest_[n]) || rest_[n] == '.' || static_cast<unsigned char>(rest_[n]) >= 0x80))
      ++n;
    std::string letters = bare_key(rest_.substr(0, n));
    rest_.remove_prefix(n);
    return letters;
  }

 private:
  std::string_view rest_;
  std::size_t digits_ = 0;
};

std::optional<std::int64_t> days_of(int year, int month, int day) {
  if (year < 100) year += 2000;
  if (year < 1980 || year > 2199 || month < 1 || day < 1) return std::nullopt;
  const std::chrono::year_month_day date{std::chrono::year{year},
                                         std::chrono::month{static_cast<unsigned>(month)},
                                         std::chrono::day{static_cast<unsigned>(day)}};
  if (!date.ok()) return std::nullopt;
  return std::chrono::sys_days{date}.time_since_epoch().count();
}

struct Days {
  DatePattern pattern = DatePattern::none;
  std::int64_t day_first = 0;
  std::int64_t month_first = 0;
};

std::optional<Days> fixed_days(std::optional<std::int64_t> days) {
  if (!days) return std::nullopt;
  return Days{DatePattern::fixed, *days, *days};
}

int month_of_name(const std::string& word) {
  static constexpr auto names = std::to_array<std::pair<std::string_view, int>>(
      {{"jan", 1},  {"ene", 1},  {"feb", 2},  {"fev", 2},  {"mar", 3}, {"mrz", 3},  {"maer", 3},
       {"apr", 4},  {"avr", 4},  {"abr", 4},  {"mai", 5},  {"may", 5}, {"juin", 6}, {"jun", 6},
       {"juil", 7}, {"jul", 7},  {"aug", 8},  {"aou", 8},  {"ago", 8}, {"sep", 9},  {"okt", 10},
       {"oct", 10}, {"nov", 11}, {"dez", 12}, {"dec", 12}, {"dic", 12}});
  for (const auto& [name, month] : names)
    if (word.starts_with(name)) return month;
  return 0;
}

/// "12/04/2026" with `sign` between: by dots always day first, else both readings.
std::optional<Days> numeric_days(int first, int second, int year, char sign) {
  const auto by_day = days_of(year, second, first);
  const auto by_month = days_of(year, first, second);
  if (sign == '.') return fixed_days(by_day);
  if (by_day && by_month)
    return Days{first == second ? DatePattern::fixed : DatePattern::either_order, *by_day, *by_month};
  if (by_day) return Days{DatePattern::day_first, *by_day, *by_day};
  if (by_month) return Days{DatePattern::month_first, *by_month, *by_month};
  return std::nullopt;
}

bool take_separator(Scanner& in) { return in.take('-') || in.take(' ') || in.take('.') || in.take(','); }

/// "Apr 5, 2026"
std::optional<Days> month_name_first(Scanner& in) {
  const int month = month_of_name(in.word());
  in.skip_blanks();
  const auto day = in.number(1, 2);
  in.take(',');
  in.skip_blanks();
  const auto year = in.number(4, 4);
  if (month == 0 || !day || !year) return std::nullopt;
  return fixed_days(days_of(*year, month, *day));
}

/// "5 Apr 2026", "5-Apr-26", "5. April 2026" after the 5.
std::optional<Days> month_name_second(Scanner& in, int day) {
  while (take_separator(in)) {
  }
  const int month = month_of_name(in.word());
  while (take_separator(in)) {
  }
  const auto year = in.number(2, 4);
  if (month == 0 || !year || in.digits() == 3) return std::nullopt;
  return fixed_days(days_of(*year, month, day));
}

std::optional<Days> read_days(Scanner& in) {
  if (is_letter(in.peek())) return month_name_first(in);
  const auto first = in.number(1, 4);
  if (!first || in.digits() == 3) return std::nullopt;
  const bool year_first = in.digits() == 4;
  Scanner ahead = in;
  while (take_separator(ahead)) {
  }
  if (!year_first && is_letter(ahead.peek())) return month_name_second(in, *first);
  const char sign = in.peek();
  if ((sign != '-' && sign != '/' && sign != '.') || !in.take(sign)) return std::nullopt;
  const auto second = in.number(1, 2);
  if (!second || !in.take(sign)) return std::nullopt;
  const auto third = year_first ? in.number(1, 2) : in.number(2, 4);
  if (!third || in.digits() == 3) return std::nullopt;
  return year_first ? fixed_days(days_of(*first, *second, *third))
                    : numeric_days(*first, *second, *third, sign);
}

struct Clock {
  int seconds = 0;
  std::optional<int> offset;  ///< seconds east of UTC
};

/// "Z", "+02:00", "-0500", "+02". False: something stands there that is no offset.
bool read_offset(Scanner& in, Clock& clock) {
  in.skip_blanks();
  if (in.at_end()) return true;
  if (in.take('Z') || in.take('z')) {
    clock.offset = 0;
    return in.at_end();
  }
  const bool west = in.peek() == '-';
  if (!in.take('+') && !in.take('-')) return false;
  const auto hours = in.pair();
  in.take(':');
  const auto minutes = in.at_end() ? std::optional<int>(0) : in.pair();
  if (!hours || !minutes || *hours > 14 || *minutes > 59 || !in.at_end()) return false;
  clock.offset = (*hours * 3600 + *minutes * 60) * (west ? -1 : 1);
  return true;
}

/// "am", "p.m." or nothing; hours after noon get their twelve. False: a word that is neither.
bool read_half_day(Scanner& in, int& hour) {
  in.skip_blanks();
  if (!is_letter(in.peek()) || in.peek() == 'Z' || in.peek() == 'z') return true;
  const std::string word = in.word();
  if (word == "uhr" || word == "h") return true;
  if ((word != "am" && word != "pm") || hour < 1 || hour > 12) return false;
  hour = hour % 12 + (word == "pm" ? 12 : 0);
  return true;
}

std::optional<Clock> read_clock(Scanner& in) {
  auto hour = in.number(1, 2);
  if (!hour || !in.take(':')) return std::nullopt;
  const auto minute = in.pair();
  std::optional<int> second = 0;
  if (in.take(':')) second = in.pair();
  if (!minute || !second) return std::nullopt;
  if (in.take('.') || in.take(','))
    while (is_digit(in.peek())) in.take(in.peek());
  if (!read_half_day(in, *hour)) return std::nullopt;
  if (*hour > 23 || *minute > 59 || *second > 60) return std::nullopt;
  Clock clock{*hour * 3600 + *minute * 60 + *second, std::nullopt};
  if (!read_offset(in, clock)) return std::nullopt;
  return clock;
}

Instant moment(std::int64_t days, const Clock& clock) {
  Instant at{days * day_seconds + clock.seconds, true, true, clock.offset.has_value()};
  at.seconds -= clock.offset.value_or(0);
  return at;
}

std::optional<WrittenMoment> clock_alone(std::string_view text) {
  Scanner in(text);
  const auto clock = read_clock(in);
  if (!clock || clock->offset) return std::nullopt;
  const Instant at{clock->seconds, false, true, false};
  return WrittenMoment{DatePattern::none, at, at};
}

bool starts_with_clock(std::string_view text) {
  const std::size_t digits = text.find_first_not_of("0123456789");
  return digits != std::string_view::npos && text[digits] == ':';
}

}  // namespace

std::optional<WrittenMoment> read_moment(std::string_view text) {
  if (starts_with_clock(text)) return clock_alone(text);
  Scanner in(text);
  const auto days = read_days(in);
  if (!days) return std::nullopt;
  if (in.at_end())
    return WrittenMoment{days->pattern, Instant{days->day_first * day_seconds, true, false, false},
                         Instant{days->month_first * day_seconds, true, false, false}};
  const bool parted = in.take('T') || in.take(',') || in.peek() == ' ';
  in.skip_blanks();
  if (!parted) return std::nullopt;
  const auto clock = read_clock(in);
  if (!clock) return std::nullopt;
  return WrittenMoment{days->pattern, moment(days->day_first, *clock), moment(days->month_first, *clock)};
}

Instant joined(const Instant& date, const Instant& time_of_day) {
  return {date.seconds + time_of_day.seconds, true, true, false};
}

}  // namespace strandbook
