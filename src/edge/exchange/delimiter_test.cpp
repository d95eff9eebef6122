#include "edge/exchange/delimiter.hpp"

#include <gtest/gtest.h>

namespace strandbook {
namespace {

struct DelimiterCase {
  const char* name;
  std::string text;
  std::optional<char> character;
};

class FindDelimiter : public testing::TestWithParam<DelimiterCase> {};

TEST_P(FindDelimiter, ReadsItFromTheContent) {
  EXPECT_EQ(find_delimiter(GetParam().text).character, GetParam().character);
}

INSTANTIATE_TEST_SUITE_P(
    Kinds, FindDelimiter,
    testing::Values(
        DelimiterCase{"comma", "link,strand\nA,1\nB,2\n", ','},
        DelimiterCase{"tab", "link\tloss, dB\nA\t0,3\nB\t0,4\n", '\t'},
        DelimiterCase{"bar", "link|strand\nA|1\n", '|'},
        DelimiterCase{"decimal_comma",
                      "Strang;L m;D 850;D 1300\nF-01;1.250,5;3,92;1,87\nF-02;987,0;3,15;1,50\n", ';'},
        DelimiterCase{"decimal_comma_without_heading", "1,5;2,5\n3,5;4,5\n", ';'},
        DelimiterCase{"decimal_comma_in_every_cell_and_title", "Halle 3\n1,5;2,5;7,5\n3,5;4,5;7,1\n", ';'},
        DelimiterCase{"decimal_column", "Loss\n0,35\n0,40\n", std::nullopt},
        DelimiterCase{"one_column", "strand\nA1\nA2\n", std::nullopt},
        DelimiterCase{"names_with_a_rare_comma", "strand\nA1\nA2, spare\nA3\nA4\nA5\n", std::nullopt},
        DelimiterCase{"comma_of_whole_numbers", "1,2,3\n4,5,6\n", ','},
        DelimiterCase{"quoted_commas", "a;b\n\"1,2,3\";\"x,y\"\n\"1,2,3\";\"x,y\"\n", ';'},
        DelimiterCase{"quoted_line_end", "a,b\n\"1;\n2;\n3;\",x\n", ','},
        DelimiterCase{"semicolons_in_some_notes", "a,b\nx; y,1\nz,2\nw,3\n", ','},
        DelimiterCase{"title_rows", "Cable CB-7\n\nStrand,850,1300\n1,0.92,0.61\n2,1.01,0.67\nTotal: 2\n",
                      ','},
        DelimiterCase{"stated", "sep=;\na;b\n", ';'}, DelimiterCase{"stated_tab", "SEP=\t\r\na,b\tc\n", '\t'},
        DelimiterCase{"stated_in_quotes", "\"sep=|\"\na,b|c\n", '|'},
        DelimiterCase{"old_line_ends", "a;b\rc;d\r", ';'}, DelimiterCase{"one_line", "a;b", ';'}),
    [](const auto& each) { return each.param.name; });

TEST(DelimiterWords, SayWhatWasFound) {
  EXPECT_EQ(describe(find_delimiter("a\tb\n")), "tab between cells");
  EXPECT_EQ(describe(find_delimiter("a;b\n")), "';' between cells");
  EXPECT_EQ(describe(find_delimiter("ab\n")), "one column");
  EXPECT_EQ(describe(find_delimiter("sep=;\nab\n")), "';' between cells (the first line says so)");
}

}  // namespace
}  // namespace strandbook
