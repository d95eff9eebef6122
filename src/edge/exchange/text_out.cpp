#include "edge/exchange/text_out.hpp"

#include <fmt/format.h>

#include <array>
#include <charconv>
#include <cmath>
#include <cstdint>

namespace strandbook {

void append_decimal(std::string& out, double value, int decimals) {
  static constexpr std::array<std::int64_t, 10> powers{1,      10,      100,      1000,      10000,
                                                       100000, 1000000, 10000000, 100000000, 1000000000};
  const std::int64_t power = powers[static_cast<std::size_t>(decimals)];
  std::int64_t scaled = std::llround(value * static_cast<double>(power));
  if (scaled < 0) {
    out += '-';
    scaled = -scaled;
  }
  std::array<char, 24> digits{};
  char* end = std::to_chars(digits.data(), digits.data() + digits.size(), scaled / power).ptr;
  out.append(digits.data(), end);
  std::int64_t fraction = scaled % power;
  if (fraction == 0) return;
  int places = decimals;
  for (; fraction % 10 == 0; fraction /= 10) --places;
  out += '.';
  const std::size_t at = out.size();
  out.append(static_cast<std::size_t>(places), '0');
  for (int i = places; i > 0; --i, fraction /= 10)
    out[at + static_cast<std::size_t>(i) - 1] = static_cast<char>('0' + fraction % 10);
}

void append_json_text(std::string& out, std::string_view text) {
  out += '"';
  for (const char c : text) {
    switch (c) {
      case '"':
        out += "\\\"";
        break;
      case '\\':
        out += "\\\\";
        break;
      case '\n':
        out += "\\n";
        break;
      case '\t':
        out += "\\t";
        break;
      case '\r':
        out += "\\r";
        break;
      default:
        if (static_cast<unsigned char>(c) < 0x20)
          out += fmt::format("\\u{:04x}", static_cast<unsigned>(c));
        else
          out += c;
    }
  }
  out += '"';
}

void append_csv_cell(std::string& out, std::string_view text) {
  // What a spreadsheet would run as a formula gets the sign by which it takes a cell for text.
  const bool formula =
      !text.empty() && std::string_view("=+-@\t\r").find(text.front()) != std::string_view::npos;
  const std::string_view sign = formula ? "'" : "";
  if (text.find_first_of(",\"\r\n") == std::string_view::npos) {
    out += sign;
    out += text;
    return;
  }
  out += '"';
  out += sign;
  for (const char c : text) {
    if (c == '"') out += '"';
    out += c;
  }
  out += '"';
}

}  // namespace strandbook
