#include "edge/exchange/cell_number.hpp"

#include <fmt/format.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace strandbook {
namespace {

struct NumeralRow {
  std::string_view text;
  NumeralForm form;
  double value;
  double grouped;
};

TEST(CellNumber, TellsWhatACellProves) {
  using enum NumeralForm;
  const NumeralRow rows[] = {
      {"0.71", point, 0.71, 0.71},
      {"3,92", comma, 3.92, 3.92},
      {"1.250,5", comma, 1250.5, 1250.5},
      {"1,250.5", point, 1250.5, 1250.5},
      {"1 250,5", comma, 1250.5, 1250.5},
      {"1\xC2\xA0"
       "250,5",
       comma, 1250.5, 1250.5},
      {"1'250.5", point, 1250.5, 1250.5},
      {"1'250", plain, 1250, 1250},
      {"1.250", point_or_group, 1.25, 1250},
      {"1,250", comma_or_group, 1.25, 1250},
      {"0,125", comma, 0.125, 0.125},
      {"0.125", point, 0.125, 0.125},
      {"1.250.000", comma, 1250000, 1250000},
      {"1,250,000", point, 1250000, 1250000},
      {"12500,5", comma, 12500.5, 12500.5},
      {"-0,5", comma, -0.5, -0.5},
      {"\xE2\x88\x92"
       "0.5",
       point, -0.5, -0.5},
      {"+7", plain, 7, 7},
      {".5", point, 0.5, 0.5},
      {"850", plain, 850, 850},
      {"1.5e-3", point, 0.0015, 0.0015},
  };
  for (const NumeralRow& row : rows) {
    const Numeral found = read_numeral(row.text);
    EXPECT_EQ(static_cast<int>(found.form), static_cast<int>(row.form)) << row.text;
    EXPECT_DOUBLE_EQ(found.value, row.value) << row.text;
    EXPECT_DOUBLE_EQ(found.grouped_value, row.grouped) << row.text;
  }
}

TEST(CellNumber, RefusesWhatIsNoNumber) {
  for (const std::string_view text :
       {"",   "-",    ".",         ",",     "1,2OO", "1.2.3", "1,25,000", "nan", "inf",  "-inf",
        "1e", "0x10", "1.250,5,5", "12 34", "1e400", "--1",   "1 ",       "1.",  "1,,2", "1'25"}) {
    EXPECT_EQ(static_cast<int>(read_numeral(text).form), static_cast<int>(NumeralForm::not_a_number)) << text;
  }
  for (const std::string_view text : {"", "nan", "inf", "-inf", "infinity", "1,5", "1x", "+-1", " 1"})
    EXPECT_FALSE(read_plain_number(text)) << text;
}

RC_GTEST_PROP(CellNumberProperty, CommaAndPointSpellingsMeanTheSame, ()) {
  const double value = *rc::gen::inRange(-9'999'999, 9'999'999) / 100.0;
  const std::string with_point = fmt::format("{:.2f}", value);
  std::string with_comma = with_point;
  with_comma[with_comma.find('.')] = ',';
  RC_ASSERT(read_numeral(with_point).value == value);
  RC_ASSERT(read_numeral(with_comma).value == value);
}

}  // namespace
}  // namespace strandbook
