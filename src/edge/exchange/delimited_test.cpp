#include "edge/exchange/delimited.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <string>
#include <vector>

#include "edge/exchange/grid_rows_for_tests.hpp"

namespace strandbook {
namespace {

struct TableCase {
  const char* name;
  std::string text;
  Rows rows;
};

class Delimited : public testing::TestWithParam<TableCase> {};

TEST_P(Delimited, IsReadAsAPersonSeesIt) {
  const auto grid = read_delimited(GetParam().text, "t.csv");
  ASSERT_TRUE(grid) << describe(grid.problem());
  EXPECT_EQ(rows_of(*grid), GetParam().rows);
}

// SOURCE: RFC 4180 section 2 for quotes and line ends; the rest is what spreadsheet programs show (common
// practice).
INSTANTIATE_TEST_SUITE_P(
    Kinds, Delimited,
    testing::Values(
        TableCase{"plain", "a,b\n1,2\n", {{"a", "b"}, {"1", "2"}}},
        TableCase{"last_line_open", "a,b\n1,2", {{"a", "b"}, {"1", "2"}}},
        TableCase{"crlf", "a,b\r\n1,2\r\n", {{"a", "b"}, {"1", "2"}}},
        TableCase{"cr", "a,b\r1,2\r", {{"a", "b"}, {"1", "2"}}},
        TableCase{
            "mixed_line_ends", "a,b\r\n1,2\n3,4\r5,6", {{"a", "b"}, {"1", "2"}, {"3", "4"}, {"5", "6"}}},
        TableCase{"blank_rows_kept", "a,b\n\n\r\n1,2\n", {{"a", "b"}, {}, {}, {"1", "2"}}},
        TableCase{"empty_cells", ",a,\n,,\n", {{"", "a", ""}, {"", "", ""}}},
        TableCase{"empty_last_cell_at_end", "a,b\n1,", {{"a", "b"}, {"1", ""}}},
        TableCase{"blanks_kept", " a , b\n  ,\t\n", {{" a ", " b"}, {"  ", "\t"}}},
        TableCase{"quoted", "\"a,1\",\"b\"\"q\"\"\"\n\"\",\"x\ny\"\n", {{"a,1", "b\"q\""}, {"", "x\ny"}}},
        TableCase{"quoted_last", "a,\"b\"", {{"a", "b"}}},
        TableCase{"quote_inside_a_cell", "5\" duct,2\nx,\"1\"\"\"\n", {{"5\" duct", "2"}, {"x", "1\""}}},
        TableCase{"text_behind_a_quote", "\"a\"b,2\n\"p\"\"q\" r,3\n", {{"ab", "2"}, {"p\"q r", "3"}}},
        TableCase{"ragged", "a,b,c\n1\n1,2,3,4\n", {{"a", "b", "c"}, {"1"}, {"1", "2", "3", "4"}}},
        TableCase{"stated_delimiter", "sep=;\r\na;b,c\r\n", {{}, {"a", "b,c"}}},
        TableCase{"mark", "\xEF\xBB\xBF\"a\";b\n1,5;2\n", {{"a", "b"}, {"1,5", "2"}}},
        TableCase{"one_column", "strand\nA1\n\nA2", {{"strand"}, {"A1"}, {}, {"A2"}}},
        TableCase{"old_end_sign", "a,b\n1,2\n\x1A", {{"a", "b"}, {"1", "2"}}},
        TableCase{"long_cells", "aaaaaaaaaaaaaaaaaaaaaaa,b\n", {{"aaaaaaaaaaaaaaaaaaaaaaa", "b"}}}),
    [](const auto& each) { return each.param.name; });

TEST(DelimitedRows, ALineEndInsideQuotesStartsNoRow) {
  const auto grid = read_delimited("a,b\n\"x\ny\nz\",1\nlast,2\n", "t.csv");
  ASSERT_TRUE(grid);
  EXPECT_EQ(grid->cell(2, 0), "last");
  EXPECT_EQ(grid->place(2).row, 3U);
}

TEST(DelimitedRows, HowReadSaysEncodingAndDelimiter) {
  EXPECT_EQ(read_delimited("\xEF\xBB\xBFL;D\n1,5;2\n", "t.csv")->how_read,
            "UTF-8 with byte-order mark; ';' between cells");
  EXPECT_EQ(read_delimited("L\xE4nge,D\n1,2\n", "t.csv")->how_read,
            "Windows-1252 (it is not valid UTF-8); ',' between cells");
}

struct BadCase {
  const char* name;
  std::string text;
  std::size_t row;
};

class BadDelimited : public testing::TestWithParam<BadCase> {};

TEST_P(BadDelimited, NamesTheRowAndTheRemedy) {
  const auto grid = read_delimited(GetParam().text, "t.csv");
  ASSERT_FALSE(grid);
  EXPECT_EQ(grid.problem().at.file, "t.csv");
  EXPECT_EQ(grid.problem().at.row, GetParam().row);
  EXPECT_FALSE(grid.problem().advice.empty());
}

std::string stray_quotes_far_apart() {
  std::string text = "a,b\n\"7,1\n";
  for (int i = 0; i < 300; ++i) text += "x,1\n";
  return text + "y\",2\n";
}

INSTANTIATE_TEST_SUITE_P(Kinds, BadDelimited,
                         testing::Values(BadCase{"empty", "", 0}, BadCase{"only_blanks", " \r\n\t\n", 0},
                                         BadCase{"only_a_mark", "\xEF\xBB\xBF", 0},
                                         BadCase{"never_closed", "a,b\n1,2\n\"3,4\n5,6\n", 3},
                                         BadCase{"never_closed_at_end", "a,b\n1,\"", 2},
                                         BadCase{"closed_by_the_next_stray", "a,b\n\"5,1\n6,\"7\n8,9\n", 2},
                                         BadCase{"closed_far_below", stray_quotes_far_apart(), 2},
                                         BadCase{"cell_too_long",
                                                 "a,b\n1," + std::string(1U << 24U, 'x') + "\n", 2},
                                         BadCase{"web_page", "<html><table>", 0},
                                         BadCase{"web_page_of_a_log_in", "\n<!doctype html><html>", 0}),
                         [](const auto& each) { return each.param.name; });

std::string written(const Rows& rows, char delimiter) {
  std::string text;
  for (const auto& row : rows) {
    for (std::size_t i = 0; i < row.size(); ++i) {
      if (i > 0) text += delimiter;
      text += '"';
      for (const char c : row[i]) text += c == '"' ? std::string("\"\"") : std::string(1, c);
      text += '"';
    }
    text += '\n';
  }
  return text;
}

RC_GTEST_PROP(DelimitedProperty, WhatIsWrittenInQuotesIsReadBack, ()) {
  const auto cell =
      rc::gen::container<std::string>(rc::gen::element('a', '"', ',', ';', '\n', '\r', ' ', '7'));
  const auto width = *rc::gen::inRange<std::size_t>(1, 5);
  const auto rows =
      *rc::gen::nonEmpty(rc::gen::container<Rows>(rc::gen::container<std::vector<std::string>>(width, cell)));
  const char delimiter = *rc::gen::element(',', ';', '\t', '|');
  const auto grid =
      read_delimited(std::string("sep=") + delimiter + "\n" + written(rows, delimiter), "t.csv");
  RC_ASSERT(static_cast<bool>(grid));
  Rows read = rows_of(*grid);
  read.erase(read.begin());
  RC_ASSERT(read == rows);
}

}  // namespace
}  // namespace strandbook
