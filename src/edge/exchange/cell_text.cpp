#include "edge/exchange/cell_text.hpp"

#include <array>
#include <utility>

namespace strandbook {
namespace {

/// Second bytes 0xA0 to 0xBF after 0xC3 (Latin-1 small letters) as plain letters; '*' = a blank.
constexpr std::string_view latin_small = "aaaaaa*ceeeeiiii*nooooo*ouuuuy*y";

constexpr auto longer = std::to_array<std::pair<std::string_view, std::string_view>>({
    {"\xC3\x9F", "ss"},     // ß
    {"\xC3\xA6", "ae"},     // æ
    {"\xC3\x86", "ae"},     // Æ
    {"\xC2\xB5", "u"},      // micro sign
    {"\xCE\xBC", "u"},      // Greek mu
    {"\xCE\xBB", "lambda"}  // Greek lambda
});

std::string_view longer_form(std::string_view rest) {
  for (const auto& [sign, plain] : longer)
    if (rest.starts_with(sign)) return plain;
  return {};
}

std::size_t bytes_of_sign(unsigned char lead) {
  if (lead >= 0xF0) return 4;
  if (lead >= 0xE0) return 3;
  return lead >= 0xC0 ? 2 : 1;
}

char latin_letter(unsigned char second) {
  const unsigned index = (second | 0x20U) - 0xA0U;
  return index < latin_small.size() && latin_small[index] != '*' ? latin_small[index] : ' ';
}

/// Plain form of the sign beyond ASCII that `rest` begins with.
std::string plain_form(std::string_view rest) {
  if (const std::string_view plain = longer_form(rest); !plain.empty()) return std::string(plain);
  if (rest.size() > 1 && rest[0] == '\xC3') return {latin_letter(static_cast<unsigned char>(rest[1]))};
  if (rest[0] == '\xCC') return {};  // a combining accent after its plain letter
  return " ";
}

}  // namespace

std::string folded(std::string_view text) {
  std::string plain;
  for (std::size_t i = 0; i < text.size();) {
    const char c = text[i];
    if (static_cast<unsigned char>(c) < 0x80) {
      plain += in_lower_case(c);
      ++i;
    } else {
      plain += plain_form(text.substr(i));
      i += bytes_of_sign(static_cast<unsigned char>(c));
    }
  }
  return plain;
}

std::string bare_key(std::string_view text) {
  std::string key;
  for (const char c : folded(text))
    if (is_digit(c) || is_letter(c)) key += c;
  return key;
}

}  // namespace strandbook
