#pragma once
// Numbers and texts into JSON and delimited text, quickly and always in the same way.

#include <string>
#include <string_view>

namespace strandbook {

/// Decimal with at most `decimals` places (0 to 9), trailing zeros cut, never "-0". |value| < 1e9.
void append_decimal(std::string& out, double value, int decimals);
/// A JSON string with its quotes; control characters escaped.
void append_json_text(std::string& out, std::string_view text);
/// A text as a cell of comma-delimited text, quoted where needed (RFC 4180). One that begins like a formula
/// (= + - @ tab) gets a ' before it, so that a spreadsheet shows it and runs nothing.
void append_csv_cell(std::string& out, std::string_view text);

}  // namespace strandbook
