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

/// A letter of ASCII in lower case; any other byte as it is.
constexpr char in_lower_case(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

/// Lower case, accents off ("Länge" -> "lange"), "µ" -> "u", "λ" -> "lambda"; any other sign beyond ASCII
/// becomes a blank.
std::string folded(std::string_view text);

/// Whether a word is among words that are parted by single blanks.
constexpr bool lists_word(std::string_view words, std::string_view word) {
  while (!words.empty()) {
    const std::size_t end = words.find(' ');
    if (words.substr(0, end) == word) return true;
    if (end == std::string_view::npos) return false;
    words.remove_prefix(end + 1);
  }
  return false;
}

/// Letters and digits of folded(text) only: "Loss [dB]" -> "lossdb".
std::string bare_key(std::string_view text);

}  // namespace strandbook
