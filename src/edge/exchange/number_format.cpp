#include "edge/exchange/number_format.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <chrono>
#include <cmath>
#include <cstdint>

#include "edge/exchange/cell_text.hpp"

namespace strandbook {
namespace {

constexpr double kPlainBelow = 1e15;
constexpr std::int64_t kDayMs = 86'400'000;
constexpr double kLastSerial = 2'958'466;  // the day after 9999-12-31 in the 1900 system
// A time of day shown without its date has small serials; a larger one is a date whose format hides it.
constexpr double kLongestDuration = 1000;

bool starts_with_word(std::string_view text, std::string_view word) {
  if (text.size() < word.size()) return false;
  for (std::size_t i = 0; i < word.size(); ++i)
    if (in_lower_case(text[i]) != word[i]) return false;
  return true;
}

/// "[h]", "[mm]", "[ss]": time that runs on beyond a day; other brackets are colours, conditions, locales.
bool is_elapsed(std::string_view bracket) {
  if (bracket.empty()) return false;
  const char first = in_lower_case(bracket.front());
  if (first != 'h' && first != 'm' && first != 's') return false;
  for (const char c : bracket)
    if (in_lower_case(c) != first) return false;
  return true;
}

/// The letters of a code's first section that stand for parts of dates and times, lower case; no literals.
class CodeLetters {
 public:
  explicit CodeLetters(std::string_view code) : rest_(code) {
    while (!rest_.empty() && rest_.front() != ';') step();
  }
  bool has(char letter) const { return letters_.find(letter) != std::string::npos; }
  bool is_elapsed_time() const { return elapsed_; }
  const std::string& all() const { return letters_; }

 private:
  void step() {
    const char c = rest_.front();
    if (c == '\\' || c == '_' || c == '*') return drop(2);
    if (c == '"') return drop_through('"');
    if (c == '[') {
      const std::size_t end = rest_.find(']');
      if (end != std::string_view::npos && is_elapsed(rest_.substr(1, end - 1))) elapsed_ = true;
      return drop_through(']');
    }
    for (const std::string_view word : {"am/pm", "a/p", "general"})
      if (starts_with_word(rest_, word)) return drop(word.size());
    letters_ += in_lower_case(c);
    drop(1);
  }
  void drop(std::size_t count) { rest_.remove_prefix(std::min(count, rest_.size())); }
  void drop_through(char end) {
    const std::size_t at = rest_.find(end, 1);
    drop(at == std::string_view::npos ? rest_.size() : at + 1);
  }

  std::string_view rest_;
  std::string letters_;
  bool elapsed_ = false;
};

bool is_all_zeros(std::string_view code) {
  return code.size() >= 2 && code.find_first_not_of('0') == std::string_view::npos;
}

std::string two_digits(std::int64_t value) {
  std::string text = std::to_string(value);
  return text.size() < 2 ? "0" + text : text;
}

/// "14:30:15", with thousandths where there are any.
std::string clock_text(std::int64_t ms) {
  std::string text =
      two_digits(ms / 3'600'000) + ":" + two_digits(ms / 60'000 % 60) + ":" + two_digits(ms / 1000 % 60);
  if (ms % 1000 == 0) return text;
  const std::string fraction = std::to_string(ms % 1000);
  return text + "." + std::string(3 - fraction.size(), '0') + fraction;
}

/// The 1900 system counts a 29 February 1900 that never was; before it, serials are one day behind.
std::chrono::sys_days day_of(std::int64_t serial, DateSystem dates) {
  using namespace std::chrono;
  if (dates == DateSystem::from_1904) return sys_days{year{1904} / 1 / 1} + days{serial};
  const sys_days origin = sys_days{year{1899} / 12 / 30};
  return origin + days{serial < 60 ? serial + 1 : serial};
}

std::string day_text(std::chrono::sys_days day) {
  const std::chrono::year_month_day date{day};
  return std::to_string(static_cast<int>(date.year())) + "-" +
         two_digits(static_cast<unsigned>(date.month())) + "-" +
         two_digits(static_cast<unsigned>(date.day()));
}

std::string date_time_text(double serial, FormatKind kind, DateSystem dates) {
  const std::int64_t ms = std::llround(serial * static_cast<double>(kDayMs));
  std::string day = day_text(day_of(ms / kDayMs, dates));
  // A time behind a format that shows only the date is kept: nothing of a file gets lost.
  if (kind == FormatKind::date && ms % kDayMs == 0) return day;
  return day + "T" + clock_text(ms % kDayMs);
}

std::string padded_text(double value, std::size_t digits) {
  std::string text = number_text(std::abs(value));
  if (text.find_first_not_of("0123456789") != std::string::npos) return number_text(value);
  if (text.size() < digits) text.insert(0, digits - text.size(), '0');
  return value < 0 ? "-" + text : text;
}

}  // namespace

NumberFormat format_of_code(std::string_view code) {
  if (is_all_zeros(code)) return {FormatKind::padded, code.size()};
  const CodeLetters letters(code);
  const bool time = letters.is_elapsed_time() || letters.has('h') || letters.has('s');
  // A lone 'm' is a month; beside hours or seconds it is minutes, unless a day or year stands there too.
  const bool date = letters.has('y') || letters.has('d') || (letters.has('m') && !time);
  if (date && time) return {FormatKind::date_time, 0};
  if (date) return {FormatKind::date, 0};
  return {time ? FormatKind::time : FormatKind::plain, 0};
}

NumberFormat format_of_builtin(std::size_t id) {
  if (id >= 14 && id <= 17) return {FormatKind::date, 0};
  if ((id >= 18 && id <= 21) || (id >= 45 && id <= 47)) return {FormatKind::time, 0};
  if (id == 22) return {FormatKind::date_time, 0};
  return {};
}

std::string number_text(double value) {
  std::array<char, 400> digits{};
  if (value == 0) return "0";
  char* const end = digits.data() + digits.size();
  const auto done = std::abs(value) < kPlainBelow
                        ? std::to_chars(digits.data(), end, value, std::chars_format::fixed)
                        : std::to_chars(digits.data(), end, value);
  return {digits.data(), done.ptr};
}

std::string formatted_text(double value, NumberFormat format, DateSystem dates) {
  if (!std::isfinite(value)) return number_text(value);
  const bool is_serial = value >= 0 && value < kLastSerial;
  switch (format.kind) {
    case FormatKind::plain:
      return number_text(value);
    case FormatKind::padded:
      return padded_text(value, format.digits);
    case FormatKind::time:
      if (value >= 0 && value < kLongestDuration)
        return clock_text(std::llround(value * static_cast<double>(kDayMs)));
      return is_serial ? date_time_text(value, FormatKind::date_time, dates) : number_text(value);
    case FormatKind::date:
    case FormatKind::date_time:
      return is_serial && value > 0 ? date_time_text(value, format.kind, dates) : number_text(value);
  }
  return number_text(value);
}

}  // namespace strandbook
