#include "edge/exchange/cell_value.hpp"

#include <algorithm>
#include <array>

#include "edge/exchange/cell_text.hpp"

namespace strandbook {
namespace {

bool between_digits(std::string_view text, char letter) {
  for (std::size_t i = 1; i < text.size(); ++i)
    if (text[i] == letter &&
        (is_digit(text[i - 1]) || text[i - 1] == '.' || text[i - 1] == ',' || text[i - 1] == letter))
      return true;
  return false;
}

}  // namespace

bool says_nothing(std::string_view text) {
  static constexpr auto marks = std::to_array<std::string_view>(
      {"", "-", "--", "---", "\xE2\x80\x93", "\xE2\x80\x94", "n/a", "N/A", "n.a.", "na", "NA", "tbd", "TBD"});
  if (text.size() > 5 || (text.size() > 1 && is_digit(text.back()))) return false;
  return std::find(marks.begin(), marks.end(), text) != marks.end();
}

std::string_view number_advice(std::string_view text) {
  if (between_digits(text, 'O') || between_digits(text, 'o')) return "letter O, not zero?";
  if (between_digits(text, 'l') || between_digits(text, 'I')) return "letter l or I, not one?";
  return "correct the cell";
}

}  // namespace strandbook
