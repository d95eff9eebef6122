#include "edge/exchange/cell_number.hpp"

#include <fast_float/fast_float.h>

#include <array>
#include <cmath>
#include <string>

#include "edge/exchange/cell_text.hpp"

namespace strandbook {
namespace {

constexpr std::size_t max_runs = 8;

/// A numeral taken apart: runs of digits and the separators between them.
struct NumeralParts {
  bool negative = false;
  std::array<std::string_view, max_runs> runs;
  std::array<char, max_runs>
      signs{};  ///< signs[i] stands before runs[i]: '.', ',' or '\'' for any pure group sign
  std::size_t count = 0;
  std::string_view exponent;  ///< "e-3" or empty
  bool sound = false;
};

/// Length and meaning of a separator at the start of `text`; meaning '\0' where there is none.
std::pair<std::size_t, char> separator(std::string_view text) {
  if (text.empty()) return {0, '\0'};
  if (text[0] == '.' || text[0] == ',') return {1, text[0]};
  if (text[0] == '\'' || text[0] == ' ') return {1, '\''};
  if (text.starts_with("\xC2\xA0")) return {2, '\''};      // no-break blank
  if (text.starts_with("\xE2\x80\xAF")) return {3, '\''};  // narrow no-break blank
  if (text.starts_with("\xE2\x80\x89")) return {3, '\''};  // thin blank
  if (text.starts_with("\xE2\x80\x99")) return {3, '\''};  // typographic apostrophe
  return {0, '\0'};
}

std::string_view take_digits(std::string_view& text) {
  std::size_t n = 0;
  while (n < text.size() && is_digit(text[n])) ++n;
  const std::string_view digits = text.substr(0, n);
  text.remove_prefix(n);
  return digits;
}

bool is_exponent(std::string_view text) {
  if (text.empty() || (text[0] != 'e' && text[0] != 'E')) return false;
  text.remove_prefix(1);
  if (!text.empty() && (text[0] == '-' || text[0] == '+')) text.remove_prefix(1);
  const std::string_view digits = take_digits(text);
  return !digits.empty() && digits.size() <= 3 && text.empty();
}

NumeralParts take_apart(std::string_view text) {
  NumeralParts parts;
  parts.negative = text.starts_with('-') || text.starts_with("\xE2\x88\x92");
  if (text.starts_with("\xE2\x88\x92")) {
    text.remove_prefix(3);
  } else if (text.starts_with('-') || text.starts_with('+')) {
    text.remove_prefix(1);
  }
  parts.runs[0] = take_digits(text);
  parts.count = 1;
  while (!text.empty()) {
    const auto [length, sign] = separator(text);
    if (sign == '\0' || parts.count == max_runs) break;
    text.remove_prefix(length);
    parts.signs[parts.count] = sign;
    parts.runs[parts.count] = take_digits(text);
    if (parts.runs[parts.count++].empty()) return parts;
  }
  if (parts.count == 1 && parts.runs[0].empty()) return parts;
  parts.exponent = text;
  parts.sound = text.empty() || is_exponent(text);
  return parts;
}

/// Runs [0, end) are a whole number in groups of three, all parted by one sign.
bool grouped(const NumeralParts& parts, std::size_t end) {
  if (end <= 1) return true;
  if (parts.runs[0].empty() || parts.runs[0].size() > 3) return false;
  for (std::size_t i = 1; i < end; ++i)
    if (parts.runs[i].size() != 3 || parts.signs[i] != parts.signs[1]) return false;
  return true;
}

/// Value with the runs from `fraction` on after the decimal sign; fraction == count: none.
std::optional<double> value_of(const NumeralParts& parts, std::size_t fraction) {
  std::string text = parts.negative ? "-" : "";
  if (parts.runs[0].empty()) text += '0';
  for (std::size_t i = 0; i < parts.count; ++i) {
    if (i == fraction) text += '.';
    text += parts.runs[i];
  }
  text += parts.exponent;
  return read_plain_number(text);
}

std::size_t count_of(const NumeralParts& parts, char sign) {
  std::size_t n = 0;
  for (std::size_t i = 1; i < parts.count; ++i) n += parts.signs[i] == sign ? 1 : 0;
  return n;
}

/// The one separator may be a decimal sign or a group sign: three digits after it, one to three before.
bool doubtful(const NumeralParts& parts) {
  return parts.count == 2 && parts.runs[1].size() == 3 && parts.runs[0].size() <= 3 &&
         !parts.runs[0].empty() && parts.runs[0].front() != '0' && parts.exponent.empty();
}

NumeralForm form_of(const NumeralParts& parts) {
  const std::size_t last = parts.count - 1;
  const std::size_t points = count_of(parts, '.');
  const std::size_t commas = count_of(parts, ',');
  const char last_sign = parts.signs[last];
  if (points + commas == 0)
    return grouped(parts, parts.count) ? NumeralForm::plain : NumeralForm::not_a_number;
  if (doubtful(parts)) return last_sign == '.' ? NumeralForm::point_or_group : NumeralForm::comma_or_group;
  if (last_sign != '\'' && count_of(parts, last_sign) == 1)
    return !grouped(parts, last) ? NumeralForm::not_a_number
           : last_sign == '.'    ? NumeralForm::point
                                 : NumeralForm::comma;
  if (!grouped(parts, parts.count) || last_sign == '\'') return NumeralForm::not_a_number;
  return last_sign == '.' ? NumeralForm::comma : NumeralForm::point;  // "1.250.000": '.' parts groups
}

}  // namespace

std::optional<double> read_plain_number(std::string_view text) {
  if (text.size() > 1 && text[0] == '+' && text[1] != '-') text.remove_prefix(1);
  double value = 0;
  const auto [end, error] = fast_float::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc{} || end != text.data() + text.size() || !std::isfinite(value)) return std::nullopt;
  return value;
}

Numeral read_numeral(std::string_view text) {
  const NumeralParts parts = take_apart(text);
  if (!parts.sound) return {};
  const NumeralForm form = form_of(parts);
  if (form == NumeralForm::not_a_number) return {};
  const std::size_t last = parts.count - 1;
  const char last_sign = parts.signs[last];
  const bool last_is_fraction = form != NumeralForm::plain && !(count_of(parts, last_sign) > 1);
  const auto value = value_of(parts, last_is_fraction ? last : parts.count);
  const auto grouped_value = doubtful(parts) ? value_of(parts, parts.count) : value;
  if (!value || !grouped_value) return {};
  const int decimals = last_is_fraction ? static_cast<int>(parts.runs[last].size()) : 0;
  return {form, *value, *grouped_value, decimals};
}

}  // namespace strandbook
