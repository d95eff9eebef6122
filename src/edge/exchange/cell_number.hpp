#pragma once
// Numbers as people write them: "3,92", "1.250,5", "1'250.5". What one cell proves about the decimal sign.

#include <cstdint>
#include <optional>
#include <string_view>

namespace strandbook {

/// What a numeral says by itself about its decimal sign.
enum class NumeralForm : std::uint8_t {
  not_a_number,
  plain,           ///< whole number without any doubt
  point,           ///< '.' is the decimal sign beyond doubt: "0.71", "1,250.5", "1,250,000"
  comma,           ///< ',' is: "3,92", "1.250,5"
  point_or_group,  ///< "1.250" may be 1.25 or 1250
  comma_or_group,  ///< "1,250" may be 1.25 or 1250
};

struct Numeral {
  NumeralForm form = NumeralForm::not_a_number;
  double value = 0;          ///< with the sign read as decimal sign where the form leaves two readings
  double grouped_value = 0;  ///< the other reading; equal to `value` where there is no doubt
  int decimals = 0;          ///< digits after the decimal sign, in the first reading
};

/// Reads the whole of `text` (outer blanks off already). Signs '+', '-' and U+2212; groups of three digits
/// parted by '.', ',', blank, no-break blank or apostrophe; exponent "e". No "nan", no "inf".
Numeral read_numeral(std::string_view text);

/// Plain number with '.' as decimal sign, read fast; nothing where it is anything else.
std::optional<double> read_plain_number(std::string_view text);

}  // namespace strandbook
