#pragma once
// Texts and numbers as the pages and cells show them.

#include <string>
#include <string_view>
#include <vector>

#include "domain/units/units.hpp"
#include "edge/report/report.hpp"

namespace strandbook {

/// Valid UTF-8 without control characters: broken bytes become U+FFFD, controls become blanks. What a file
/// wrote must never break a page or a sheet.
std::string legible(std::string_view text);

/// Bytes of the UTF-8 character that starts at `at`; 0 where the bytes there are not valid UTF-8.
std::size_t character_length(std::string_view text, std::size_t at);

/// "1.86", "−0.12": fixed decimals with a true minus sign; never "−0.00". "—" where not finite.
std::string decimal_text(double value, int decimals);
/// "+0.12", "−0.31".
std::string signed_text(double value, int decimals);
/// "0.9713"; ">0.9999" and "<0.0001" where four decimals would say certain.
std::string probability_text(double probability);
/// "850", "1310", "852.5".
std::string plain_text(double value);
/// "850, 1310".
std::string wavelengths_text(const std::vector<double>& wavelengths);
/// "2880", "40 000": grouped by narrow blanks from five digits on.
std::string count_text(std::size_t count);
/// "96 tests", "1 test".
std::string counted(std::size_t count, std::string_view noun);
/// "120 m" or "394 ft".
std::string length_text(Metres length, LengthUnit unit);
/// "2026-04-05 07:10:00Z": the ISO text with a blank for its T.
std::string moment_text(const Instant& at);
/// First letter in upper case (ASCII).
std::string capitalised(std::string_view text);

}  // namespace strandbook
