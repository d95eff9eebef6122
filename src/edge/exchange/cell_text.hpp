#pragma once
// Text of a cell: outer blanks off, and a plain form in which headings and words are compared.

#include <string>
#include <string_view>

namespace strandbook {

/// Without outer blanks, tabs and no-break blanks. Nothing else changes: identifiers stay as written.
constexpr std::string_view trimmed(std::string_view text) {
  const auto no_break = [](char a, char b) { return a == '\xC2' && b == '\xA0'; };
  for (;;) {
    if (!text.empty() && (text.front() == ' ' || (text.front() >= '\t' && text.front() <= '\r'))) {
      text.remove_prefix(1);
    } else if (text.size() > 1 && no_break(text[0], text[1])) {
      text.remove_prefix(2);
    } else {
      break;
    }
  }
  for (;;) {
    const std::size_t n = text.size();
    if (n > 0 && (text.back() == ' ' || (text.back() >= '\t' && text.back() <= '\r'))) {
      text.remove_suffix(1);
    } else if (n > 1 && no_break(text[n - 2], text[n - 1])) {
      text.remove_suffix(2);
    } else {
      return text;
    }
  }
}

constexpr bool is_digit(char c) { return c >= '0' && c <= '9'; }
constexpr bool is_letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }

/// Lower case, accents off ("Länge" -> "lange"), "µ" -> "u", "λ" -> "lambda"; any other sign beyond ASCII
/// becomes a blank.
std::string folded(std::string_view text);

/// Letters and digits of folded(text) only: "Loss [dB]" -> "lossdb".
std::string bare_key(std::string_view text);

}  // namespace strandbook
