#pragma once
// Bytes as hexadecimal digits.

#include <cstdint>
#include <string>
#include <string_view>

namespace strandbook {

inline constexpr std::string_view hex_digits = "0123456789abcdef";

/// Writes the two digits of a byte; returns where the next belong.
inline char* put_hex(char* at, std::uint8_t byte) {
  *at++ = hex_digits[byte >> 4U];
  *at++ = hex_digits[byte & 15U];
  return at;
}

inline void append_hex(std::string& text, std::uint8_t byte) {
  text += hex_digits[byte >> 4U];
  text += hex_digits[byte & 15U];
}

/// Of a digit in lower case; -1 for any other character.
constexpr int hex_value(char c) {
  if (c >= '0' && c <= '9') return c - '0';
  if (c >= 'a' && c <= 'f') return c - 'a' + 10;
  return -1;
}

}  // namespace strandbook
