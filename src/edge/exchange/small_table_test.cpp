#include "edge/exchange/small_table.hpp"

#include <gtest/gtest.h>

#include "edge/exchange/table_import_test.hpp"

namespace strandbook {
namespace {

using test::grids_of;
using test::notes_say;

const std::vector<TableColumn> position_columns = {
    {.key = "array", .synonyms = "trunk kabel", .need = ColumnNeed::filled},
    {.key = "near",
     .synonyms = "nearposition nah",
     .kind = CellKind::count,
     .need = ColumnNeed::filled,
     .least = 1,
     .most = 72},
    {.key = "loss", .synonyms = "worstloss dampfung", .unit = Unit::db},
    {.key = "length", .synonyms = "lange", .unit = Unit::m, .least = 0, .most = 2000},
    {.key = "size", .synonyms = "grosse", .unit = Unit::um},
};

Result<SmallTable> positions_in(const std::string& text, const std::string& how = {}) {
  return read_small_table(grids_of(text, how), position_columns, "positions");
}

TEST(SmallTable, HeadingsBelowTitlesInAnyCaseWithUnits) {
  const auto table = positions_in(
      "Hall 4\n\nTRUNK|Near_Position|worst loss (dB)|Length [ft]|Remarks\nT1|3|0.42|100|dusty\n");
  ASSERT_TRUE(table) << describe(table.problem());
  ASSERT_EQ(table->rows.size(), 1u);
  const SmallRow& row = table->rows[0];
  EXPECT_EQ(row.at.row, 4u);
  EXPECT_EQ(row.text("array"), "T1");
  EXPECT_EQ(row.number("near"), 3);
  EXPECT_EQ(row.number("loss"), 0.42);
  EXPECT_NEAR(*row.number("length"), 30.48, 1e-9);
  EXPECT_FALSE(row.number("size"));
  EXPECT_TRUE(table->has("loss"));
  EXPECT_FALSE(table->has("size"));
  EXPECT_TRUE(notes_say(table->notes, "\"Remarks\" is not used"));
}

TEST(SmallTable, GermanHeadingsAndDecimalComma) {
  const auto table = positions_in(
      "Kabel|Nah|D\xC3\xA4mpfung dB|L\xC3\xA4nge m|Gr\xC3\xB6\xC3\x9F"
      "e \xC2\xB5m\nT1|1|0,32|1.250,5|31\nT1|2|0,3|7|3,5 \xC2\xB5m\n",
      "';'");
  ASSERT_TRUE(table) << describe(table.problem());
  ASSERT_EQ(table->rows.size(), 2u) << describe(table->unread.at(0));
  EXPECT_EQ(table->rows[0].number("loss"), 0.32);
  EXPECT_EQ(table->rows[0].number("length"), 1250.5);
  EXPECT_EQ(table->rows[1].number("size"), 3.5);
  EXPECT_TRUE(notes_say(table->notes, "decimal comma"));
}

TEST(SmallTable, DarknessHasTextButNoNumber) {
  const auto table = positions_in("array|near|loss\nT1|1|no light\n");
  ASSERT_TRUE(table);
  EXPECT_EQ(table->rows.at(0).text("loss"), "no light");
  EXPECT_FALSE(table->rows.at(0).number("loss"));
}

TEST(SmallTable, RowsThatCannotBeUsedAreListedWithTheirCell) {
  const auto table = positions_in(
      "array|near|loss\nT1|1,5|0.2\nT1|99|0.2\n|3|0.2\nT1|4|0.2dBm\nT1|5|0.2|extra\nTotal|6|\nT1|7|\narray|"
      "near|loss\n");
  ASSERT_TRUE(table);
  ASSERT_EQ(table->rows.size(), 1u);
  EXPECT_EQ(table->rows[0].number("near"), 7);
  ASSERT_EQ(table->unread.size(), 6u);
  ASSERT_EQ(table->spoilt.size(), 5u);  // all but the total
  EXPECT_EQ(table->spoilt[0].text("array"), "T1");
  EXPECT_EQ(table->unread[0].at.column, "near");
  EXPECT_EQ(table->unread[1].wanted, "a whole number from 1 to 72");
  EXPECT_EQ(table->unread[2].at.row, 4u);
  EXPECT_NE(table->unread[3].advice.find("level"), std::string::npos);
  EXPECT_TRUE(notes_say(table->notes, "row 9 repeats the headings"));
}

TEST(SmallTable, AMissingColumnIsNamed) {
  const auto table = positions_in("Title\ntrunk|far|loss\nT1|1|0.2\n");
  ASSERT_FALSE(table);
  EXPECT_EQ(table.problem().at.row, 2u);
  EXPECT_EQ(table.problem().found, "headings: trunk, far, loss");
  EXPECT_NE(table.problem().wanted.find("\"near\""), std::string::npos);
}

TEST(SmallTable, UnknownDoubledOrContradictingHeadingsAreRefused) {
  EXPECT_NE(describe(positions_in("a|b\n1|2\n").problem()).find("\"array\", \"near\""), std::string::npos);
  const auto doubled = positions_in("array|near|loss|worst_loss_db\nT1|1|0.2|0.3\n");
  ASSERT_FALSE(doubled);
  EXPECT_EQ(doubled.problem().found, "\"loss\" and \"worst_loss_db\"");
  const auto level = positions_in("array|near|loss dBm\nT1|1|-20\n");
  ASSERT_FALSE(level);
  EXPECT_NE(level.problem().found.find("loss dBm"), std::string::npos);
  EXPECT_FALSE(positions_in("array|near\n"));
  EXPECT_FALSE(read_small_table(std::vector<Grid>{}, position_columns, "positions"));
  EXPECT_FALSE(read_small_table(std::string("/nowhere.csv"), position_columns, "positions"));
}

TEST(SmallTable, OtherSheetsAreNamed) {
  std::vector<Grid> sheets = grids_of("Cover\nof the job\n");
  sheets.push_back(grids_of("array|near\nT1|1\n").front());
  const auto table = read_small_table(sheets, position_columns, "positions");
  ASSERT_TRUE(table);
  EXPECT_EQ(table->rows.size(), 1u);
  EXPECT_TRUE(notes_say(table->notes, "sheet not read as positions"));
}

}  // namespace
}  // namespace strandbook
