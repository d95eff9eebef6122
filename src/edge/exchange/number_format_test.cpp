#include "edge/exchange/number_format.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <cstdlib>

namespace strandbook {
namespace {

constexpr NumberFormat kPlain{};
constexpr NumberFormat kDate{FormatKind::date, 0};
constexpr NumberFormat kTime{FormatKind::time, 0};
constexpr NumberFormat kDateTime{FormatKind::date_time, 0};

// SOURCE: ECMA-376 part 1, 18.8.31 (symbols of format codes), examples our own.
TEST(NumberFormatCode, IsUnderstood) {
  const std::vector<std::pair<const char*, NumberFormat>> cases = {{"General", kPlain},
                                                                   {"0", kPlain},
                                                                   {"000", {FormatKind::padded, 3}},
                                                                   {"0.00", kPlain},
                                                                   {"0.00E+00", kPlain},
                                                                   {"#,##0.00 [$€-407]", kPlain},
                                                                   {"@", kPlain},
                                                                   {"", kPlain},
                                                                   {"dd\\.mm\\.yyyy", kDate},
                                                                   {"mmm-yy", kDate},
                                                                   {"mmmm", kDate},
                                                                   {"[$-409]d-mmm-yy;@", kDate},
                                                                   {"hh:mm", kTime},
                                                                   {"h:mm AM/PM", kTime},
                                                                   {"mm:ss.0", kTime},
                                                                   {"[hh]:mm:ss", kTime},
                                                                   {"[m]", kTime},
                                                                   {"yyyy-mm-dd\\ hh:mm:ss", kDateTime},
                                                                   {"0.0\" dB/m\"", kPlain},
                                                                   {"0.0\\d", kPlain},
                                                                   {"[Red]0.00", kPlain},
                                                                   {"0;[Red]-0", kPlain},
                                                                   {"0_d", kPlain},
                                                                   {"\"unclosed", kPlain},
                                                                   {"[unclosed", kPlain},
                                                                   {"\\", kPlain}};
  for (const auto& [code, format] : cases) EXPECT_EQ(format_of_code(code), format) << code;
}

// SOURCE: ECMA-376 part 1, 18.8.30 (list of built-in formats).
TEST(NumberFormatBuiltin, IsUnderstood) {
  EXPECT_EQ(format_of_builtin(0), kPlain);
  EXPECT_EQ(format_of_builtin(14), kDate);
  EXPECT_EQ(format_of_builtin(20), kTime);
  EXPECT_EQ(format_of_builtin(22), kDateTime);
  EXPECT_EQ(format_of_builtin(46), kTime);
  EXPECT_EQ(format_of_builtin(49), kPlain);
}

TEST(NumberText, IsPlainAndShort) {
  EXPECT_EQ(number_text(0.1), "0.1");
  EXPECT_EQ(number_text(-0.0), "0");
  EXPECT_EQ(number_text(1.0849999999999999), "1.085");
  EXPECT_EQ(number_text(-12.5), "-12.5");
  EXPECT_EQ(number_text(999999999999999), "999999999999999");
  EXPECT_EQ(number_text(1234567890123.5), "1234567890123.5");
  EXPECT_EQ(number_text(1e-7), "0.0000001");
  EXPECT_EQ(number_text(1e10), "10000000000");
}

RC_GTEST_PROP(NumberTextProperty, ReadsBackTheSame, (double value)) {
  RC_PRE(std::isfinite(value));
  RC_ASSERT(std::strtod(number_text(value).c_str(), nullptr) == value);
}

TEST(FormattedText, PadsWholeNumbersOnly) {
  const NumberFormat padded{FormatKind::padded, 3};
  EXPECT_EQ(formatted_text(1, padded, DateSystem::from_1900), "001");
  EXPECT_EQ(formatted_text(1234, padded, DateSystem::from_1900), "1234");
  EXPECT_EQ(formatted_text(-7, padded, DateSystem::from_1900), "-007");
  EXPECT_EQ(formatted_text(7.5, padded, DateSystem::from_1900), "7.5");
}

// SOURCE: ECMA-376 part 1, 18.17.4.1: serials of both date systems (1 = 1900-01-01; 0 = 1904-01-01);
// 45356 = 2024-03-05 as LibreOffice 7.4 wrote it.
TEST(FormattedText, GivesDatesAndTimesAfterIso8601) {
  EXPECT_EQ(formatted_text(1, kDate, DateSystem::from_1900), "1900-01-01");
  EXPECT_EQ(formatted_text(59, kDate, DateSystem::from_1900), "1900-02-28");
  EXPECT_EQ(formatted_text(61, kDate, DateSystem::from_1900), "1900-03-01");
  EXPECT_EQ(formatted_text(45356, kDate, DateSystem::from_1900), "2024-03-05");
  EXPECT_EQ(formatted_text(45356 - 1462, kDate, DateSystem::from_1904), "2024-03-05");
  EXPECT_EQ(formatted_text(45356.6043402778, kDateTime, DateSystem::from_1900), "2024-03-05T14:30:15");
  EXPECT_EQ(formatted_text(45356, kDateTime, DateSystem::from_1900), "2024-03-05T00:00:00");
  EXPECT_EQ(formatted_text(45356.5, kDate, DateSystem::from_1900), "2024-03-05T12:00:00");
  EXPECT_EQ(formatted_text(45356.99999999999, kDate, DateSystem::from_1900), "2024-03-06");
  EXPECT_EQ(formatted_text(0.25, kTime, DateSystem::from_1900), "06:00:00");
  EXPECT_EQ(formatted_text(1.08546296296296, kTime, DateSystem::from_1900), "26:03:04");
  EXPECT_EQ(formatted_text(45356.5, kTime, DateSystem::from_1900), "2024-03-05T12:00:00");
  EXPECT_EQ(formatted_text(0.5 + 0.25 / 86400, kTime, DateSystem::from_1900), "12:00:00.250");
}

TEST(FormattedText, LeavesWhatIsNoDatePlain) {
  EXPECT_EQ(formatted_text(-3, kDate, DateSystem::from_1900), "-3");
  EXPECT_EQ(formatted_text(1e9, kDate, DateSystem::from_1900), "1000000000");
  EXPECT_EQ(formatted_text(0, kDate, DateSystem::from_1900), "0");
  EXPECT_EQ(formatted_text(-0.5, kTime, DateSystem::from_1900), "-0.5");
}

}  // namespace
}  // namespace strandbook
