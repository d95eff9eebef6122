#pragma once
// What a spreadsheet's number format makes of a number: a plain number, padded digits, a date or a time.

#include <cstddef>
#include <string>
#include <string_view>

namespace strandbook {

enum class FormatKind { plain, padded, date, time, date_time };

struct NumberFormat {
  FormatKind kind = FormatKind::plain;
  std::size_t digits = 0;  ///< of a padded number: "000" has 3
  bool operator==(const NumberFormat&) const = default;
};

/// The day that serial number 0 stands for (ECMA-376 part 1, 18.17.4.1).
enum class DateSystem { from_1900, from_1904 };

/// From a format code such as "dd.mm.yyyy hh:mm" or "000" (ECMA-376 part 1, 18.8.31). Only the first of
/// its sections counts.
NumberFormat format_of_code(std::string_view code);

/// From the number of a built-in format (ECMA-376 part 1, 18.8.30); plain for numbers it does not define.
NumberFormat format_of_builtin(std::size_t id);

/// The shortest text that reads back as the same number, with '.'; not scientific below 1e15.
std::string number_text(double value);

/// The number as its format lets a person understand it: "007", "2024-03-05", "26:03:04",
/// "2024-03-05T14:30:15". A number that the format cannot show without loss stays plain.
std::string formatted_text(double value, NumberFormat format, DateSystem dates);

}  // namespace strandbook
