#include "edge/report/legible.hpp"

#include <fmt/format.h>

#include <cmath>

namespace strandbook {
namespace {

constexpr std::string_view minus = "\u2212";
constexpr std::string_view replacement = "\uFFFD";

unsigned byte_at(std::string_view text, std::size_t at) { return static_cast<unsigned char>(text[at]); }

struct Shape {
  std::size_t length;
  unsigned least_second;
  unsigned most_second;
};

/// Well-formed byte sequences (The Unicode Standard, table 3-7): overlong forms and surrogates are refused.
Shape shape_of(unsigned lead) {
  if (lead < 0x80) return {1, 0, 0};
  if (lead < 0xC2) return {0, 0, 0};
  if (lead < 0xE0) return {2, 0x80, 0xBF};
  if (lead < 0xF0) return {3, lead == 0xE0 ? 0xA0u : 0x80u, lead == 0xED ? 0x9Fu : 0xBFu};
  if (lead < 0xF5) return {4, lead == 0xF0 ? 0x90u : 0x80u, lead == 0xF4 ? 0x8Fu : 0xBFu};
  return {0, 0, 0};
}

std::string with_minus(std::string ascii) {
  if (ascii.empty() || ascii[0] != '-') return ascii;
  // A rounded zero has no sign.
  if (ascii.find_first_of("123456789") == std::string::npos) return ascii.substr(1);
  return std::string(minus) + ascii.substr(1);
}

bool is_control(std::string_view text, std::size_t at, std::size_t length) {
  const unsigned lead = byte_at(text, at);
  if (length == 1) return lead < 0x20 || lead == 0x7F;
  if (length == 2) return lead == 0xC2 && byte_at(text, at + 1) < 0xA0;  // C1 controls
  // U+2028 and U+2029 break lines, U+202A to U+202E and U+2066 to U+2069 turn the order of what follows.
  if (length != 3 || lead != 0xE2)
    return length == 3 && lead == 0xEF && byte_at(text, at + 1) == 0xBF &&
           byte_at(text, at + 2) >= 0xBE;  // U+FFFE, U+FFFF
  const unsigned second = byte_at(text, at + 1);
  const unsigned third = byte_at(text, at + 2);
  return (second == 0x80 && third >= 0xA8 && third <= 0xAE) ||
         (second == 0x81 && third >= 0xA6 && third <= 0xA9);
}

}  // namespace

std::size_t character_length(std::string_view text, std::size_t at) {
  const Shape shape = shape_of(byte_at(text, at));
  if (shape.length == 0 || at + shape.length > text.size()) return 0;
  if (shape.length == 1) return 1;
  const unsigned second = byte_at(text, at + 1);
  if (second < shape.least_second || second > shape.most_second) return 0;
  for (std::size_t i = 2; i < shape.length; ++i)
    if ((byte_at(text, at + i) & 0xC0u) != 0x80u) return 0;
  return shape.length;
}

std::string legible(std::string_view text) {
  std::string clean;
  clean.reserve(text.size());
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t length = character_length(text, at);
    if (length == 0) {
      clean += replacement;
    } else if (is_control(text, at, length)) {
      clean += ' ';
    } else {
      clean += text.substr(at, length);
    }
    at += length == 0 ? 1 : length;
  }
  return clean;
}

std::string decimal_text(double value, int decimals) {
  if (!std::isfinite(value)) return "\u2014";
  return with_minus(fmt::format("{:.{}f}", value, decimals));
}

std::string signed_text(double value, int decimals) {
  std::string text = decimal_text(value, decimals);
  if (value > 0 && text.find_first_of("123456789") != std::string::npos) text.insert(0, 1, '+');
  return text;
}

std::string probability_text(double probability) {
  if (probability >= 0.99995) return ">0.9999";
  if (probability < 0.00005) return "<0.0001";
  return decimal_text(probability, 4);
}

std::string plain_text(double value) {
  return std::isfinite(value) ? with_minus(fmt::format("{}", value)) : "\u2014";
}

std::string wavelengths_text(const std::vector<double>& wavelengths) {
  std::string text;
  for (const double wavelength : wavelengths) text += (text.empty() ? "" : ", ") + plain_text(wavelength);
  return text;
}

std::string count_text(std::size_t count) {
  std::string text = std::to_string(count);
  if (text.size() < 5) return text;
  for (std::size_t at = text.size(); at > 3; at -= 3) text.insert(at - 3, "\u2009");
  return text;
}

std::string counted(std::size_t count, std::string_view noun) {
  return fmt::format("{} {}{}", count_text(count), noun, count == 1 ? "" : "s");
}

std::string length_text(Metres length, LengthUnit unit) {
  const double value = unit == LengthUnit::feet ? length.value / from_feet(1).value : length.value;
  const int decimals = std::abs(value - std::round(value)) < 0.05 ? 0 : 1;
  return decimal_text(value, decimals) + (unit == LengthUnit::feet ? " ft" : " m");
}

std::string moment_text(const Instant& at) {
  std::string text = iso_text(at);
  if (const std::size_t mark = text.find('T'); mark != std::string::npos) text[mark] = ' ';
  return text;
}

std::string capitalised(std::string_view text) {
  std::string result(text);
  if (!result.empty() && result[0] >= 'a' && result[0] <= 'z')
    result[0] = static_cast<char>(result[0] - 'a' + 'A');
  return result;
}

}  // namespace strandbook
