#include "edge/exchange/workbook.hpp"

#include <gtest/gtest.h>
#include <xlsxwriter.h>

#include <cstdio>
#include <fstream>
#include <iterator>

#include "edge/exchange/grid_rows_for_tests.hpp"
#include "edge/exchange/package_for_test.hpp"
#include "edge/exchange/zip_package.hpp"

namespace strandbook {
namespace {

/// The first sheet's rows, or the problem as one cell, so that a failure shows it.
Rows read_rows(const std::string& bytes) {
  const auto grids = read_workbook(bytes, "t.xlsx");
  return grids ? rows_of(grids->front()) : Rows{{describe(grids.problem())}};
}

Rows xlsx_rows(const std::string& sheet_data, const std::string& properties = {}) {
  return read_rows(zip_of(xlsx_parts(sheet_data, properties)));
}
Rows ods_rows(const std::string& rows) { return read_rows(zip_of(ods_parts(rows))); }

std::string row(const std::string& cells) {
  return "<sheetData><row r=\"1\">" + cells + "</row></sheetData>";
}
std::string ods_row(const std::string& cells) { return "<t:table-row>" + cells + "</t:table-row>"; }

// SOURCE: cell types and the two date systems after ECMA-376 part 1, 18.18.11 and 18.17.4.1; the workbooks
// are our own.
TEST(Xlsx, EachTypeOfCellIsText) {
  EXPECT_EQ(xlsx_rows(row(
                "<c t=\"s\"><v>0</v></c><c t=\"s\"><v>1</v></c><c t=\"b\"><v>1</v></c><c t=\"b\"><v>0</v></c>"
                "<c t=\"e\"><v>#N/A</v></c><c t=\"str\"><f>A1</f><v>got</v></c>"
                "<c t=\"inlineStr\"><is><t>in</t></is></c><c t=\"d\"><v>2024-03-05</v></c>")),
            (Rows{{"plain", "rich", "true", "false", "#N/A", "got", "in", "2024-03-05"}}));
}

TEST(Xlsx, NumbersAreShortAndDatesFollowTheirSystem) {
  const std::string cells = "<c><v>1.0849999999999999</v></c><c><v>1E10</v></c><c s=\"1\"><v>43894</v></c>";
  EXPECT_EQ(xlsx_rows(row(cells)), (Rows{{"1.085", "10000000000", "2020-03-04"}}));
  EXPECT_EQ(xlsx_rows(row(cells), "<workbookPr date1904=\"1\"/>"),
            (Rows{{"1.085", "10000000000", "2024-03-05"}}));
}

TEST(Xlsx, CellsStandWhereTheirAddressSays) {
  EXPECT_EQ(xlsx_rows("<sheetData><row r=\"3\"><c r=\"C3\"><v>2</v></c><c r=\"A3\"><v>1</v></c></row>"
                      "<row><c><v>3</v></c><c r=\"B4\"/></row></sheetData>"),
            (Rows{{}, {}, {"1", "", "2"}, {"3"}}));
}

TEST(Xlsx, MergedCellsHaveTextInTheFirstOnly) {
  EXPECT_EQ(xlsx_rows(row("<c><v>1</v></c><c><v>2</v></c><c><v>3</v></c>") +
                      "<mergeCells><mergeCell ref=\"A1:B1\"/></mergeCells>"),
            (Rows{{"1", "", "3"}}));
}

TEST(Xlsx, EscapedCharactersAreUndone) {
  EXPECT_EQ(xlsx_rows(row("<c t=\"str\"><v>a_x0009_b_x005F_x_x12</v></c>")), (Rows{{"a\tb_x_x12"}}));
}

struct Deleted {
  std::string path = testing::TempDir() + "strandbook_workbook_test.xlsx";
  ~Deleted() { std::remove(path.c_str()); }
};

// Outside check: the file is written by libxlsxwriter.
TEST(Xlsx, OfAnotherWriterIsRead) {
  const Deleted file;
  lxw_workbook* book = workbook_new(file.path.c_str());
  lxw_worksheet* sheet = workbook_add_worksheet(book, "Hall A");
  const auto format = [&](const char* code) {
    lxw_format* made = workbook_add_format(book);
    format_set_num_format(made, code);
    return made;
  };
  lxw_datetime moment = {2024, 3, 5, 14, 30, 15.0};
  worksheet_merge_range(sheet, 0, 0, 0, 2, "Head & title", nullptr);
  worksheet_write_string(sheet, 1, 0, "0012", nullptr);
  worksheet_write_number(sheet, 1, 1, 7, format("000"));
  worksheet_write_string(sheet, 1, 2, "1E10", nullptr);
  worksheet_write_datetime(sheet, 2, 0, &moment, format("dd/mm/yyyy hh:mm"));
  worksheet_write_number(sheet, 2, 1, 1.5, format("[h]:mm"));
  worksheet_write_boolean(sheet, 2, 2, 1, nullptr);
  worksheet_write_formula_num(sheet, 4, 1, "=B2/2", nullptr, 3.5);
  workbook_add_worksheet(book, "Two");
  ASSERT_EQ(workbook_close(book), LXW_NO_ERROR);
  const auto grids = read_grids(file.path);
  ASSERT_TRUE(grids) << describe(grids.problem());
  ASSERT_EQ(grids->size(), 2U);
  EXPECT_EQ(rows_of(grids->front()), (Rows{{"Head & title"},
                                           {"0012", "007", "1E10"},
                                           {"2024-03-05T14:30:15", "36:00:00", "true"},
                                           {},
                                           {"", "3.5"}}));
  EXPECT_EQ(grids->front().sheet(), "Hall A");
  EXPECT_EQ(grids->front().place(4).row, 5U);
}

// SOURCE: ODF 1.3 part 3: 19.385 (value types), 9.1.4 (cells), 19.675 and 19.680 (repeats); the workbooks are
// our own.
TEST(Ods, EachTypeOfCellIsText) {
  EXPECT_EQ(ods_rows(ods_row(
                "<t:table-cell o:value-type=\"float\" o:value=\"1e10\"><x:p>1.0E10</x:p></t:table-cell>"
                "<t:table-cell o:value-type=\"percentage\" o:value=\"0.5\"/>"
                "<t:table-cell o:value-type=\"boolean\" o:boolean-value=\"false\"/>"
                "<t:table-cell o:value-type=\"date\" o:date-value=\"2024-03-05T14:30:15\"/>"
                "<t:table-cell o:value-type=\"time\" o:time-value=\"PT26H03M04S\"/>"
                "<t:table-cell o:value-type=\"string\" o:string-value=\"cached\"/>")),
            (Rows{{"10000000000", "0.5", "false", "2024-03-05T14:30:15", "26:03:04", "cached"}}));
}

TEST(Ods, TextKeepsBlanksParagraphsAndNotItsComments) {
  EXPECT_EQ(
      ods_rows(ods_row("<t:table-cell o:value-type=\"string\"><o:annotation><x:p>note</x:p></o:annotation>"
                       "<x:p>a<x:s x:c=\"2\"/><x:span>b</x:span><x:tab/>c\n   d</x:p><x:p>e</x:p>"
                       "<t:shapes><x:p>drawn</x:p></t:shapes></t:table-cell>")),
      (Rows{{"a  b\tc d\ne"}}));
}

TEST(Ods, PaddedNumbersFollowTheStyleOfCellRowOrColumn) {
  const std::string seven = " o:value-type=\"float\" o:value=\"7\"/>";
  EXPECT_EQ(ods_rows("<t:table-column t:number-columns-repeated=\"2\"/>"
                     "<t:table-column t:default-cell-style-name=\"three\"/>" +
                     ods_row("<t:table-cell t:style-name=\"child\"" + seven + "<t:table-cell" + seven +
                             "<t:table-cell" + seven + "<t:table-cell t:style-name=\"prefixed\"" + seven)),
            (Rows{{"007", "7", "007", "7"}}));
}

TEST(Ods, RepeatsAndMergedCellsKeepTheirPlaces) {
  EXPECT_EQ(
      ods_rows("<t:table-row t:number-rows-repeated=\"2\"><t:table-cell t:number-columns-repeated=\"2\" "
               "o:value-type=\"float\" o:value=\"1\"/><t:covered-table-cell><x:p>under</x:p>"
               "</t:covered-table-cell><t:table-cell t:number-columns-repeated=\"16380\"/></t:table-row>"
               "<t:table-row t:number-rows-repeated=\"2\"><t:table-cell/></t:table-row>" +
               ods_row("<t:table-cell/><t:table-cell><x:p>end</x:p></t:table-cell>") +
               "<t:table-row t:number-rows-repeated=\"1048571\"><t:table-cell/></t:table-row>"),
      (Rows{{"1", "1"}, {"1", "1"}, {}, {}, {"", "end"}}));
}

std::string bytes_of(const std::string& name) {
  std::ifstream file(STRANDBOOK_ROOT "/tests/data/grids/" + name, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

/// The rows of each sheet in turn; the problem as one cell of one sheet, so that a failure shows it.
std::vector<Rows> sheets_of(const std::string& name) {
  const auto grids = read_workbook(bytes_of(name), name);
  if (!grids) return {{{describe(grids.problem())}}};
  std::vector<Rows> sheets;
  for (const Grid& grid : *grids) sheets.push_back(rows_of(grid));
  return sheets;
}

// Outside check: one table that LibreOffice 7.4 wrote in both formats.
TEST(Workbook, OfLibreOfficeIsReadAlikeFromBothFormats) {
  const Rows tray = {{"Hall 3, lower  tray"},
                     {"Port", "Strand", "850 nm", "", "Measured", "Took"},
                     {"", "", "A-B (dB)", "B-A (dB)"},
                     {"1E10", "007", "0.92", "1.085", "2024-03-05", "00:01:30"},
                     {"0012", "012", "0.1", "1.02", "2024-03-05T14:30:15", "26:03:04"},
                     {},
                     {},
                     {"Remark\nover two lines", "", "", "", "", "true"}};
  const std::vector<Rows> wanted = {tray, {}, {{"Strand", "Note"}, {"1", "x & y"}}};
  EXPECT_EQ(sheets_of("tray.ods"), wanted);
  EXPECT_EQ(sheets_of("tray.xlsx"), wanted);
}

std::string found_in(const std::string& bytes) {
  const auto grids = read_workbook(bytes, "t.xlsx");
  if (grids) return "read";
  EXPECT_EQ(grids.problem().at.file, "t.xlsx");
  EXPECT_FALSE(grids.problem().advice.empty());
  return grids.problem().found;
}

PackageParts with_part(PackageParts parts, const std::string& name, const std::string& content) {
  for (auto& part : parts)
    if (part.first == name) part.second = content;
  return parts;
}

TEST(BadWorkbook, IsAProblemOfTheFile) {
  const std::string good = zip_of(xlsx_parts(row("<c><v>1</v></c>")));
  ASSERT_EQ(found_in(good), "read");
  const PackageParts ods = ods_parts("");
  EXPECT_NE(found_in(good.substr(0, good.size() / 2)).find("damaged"), std::string::npos);
  EXPECT_NE(found_in("PK\x03\x04").find("damaged"), std::string::npos);
  EXPECT_NE(found_in(zip_of(xlsx_parts("<sheetData>"))).find("damaged"), std::string::npos);
  EXPECT_NE(
      found_in(zip_of(xlsx_parts(
          "<sheetData><row r=\"2\"><c><v>1</v></c></row><row r=\"2\"><c><v>2</v></c></row></sheetData>"))),
      "read");
  EXPECT_NE(found_in(zip_of(with_part(ods, "content.xml", "<!DOCTYPE a><a/>"))).find("document type"),
            std::string::npos);
  EXPECT_EQ(found_in(zip_of({{"a.txt", "a"}})), "a zip archive that is not a workbook");
  EXPECT_EQ(found_in(zip_of(with_part(ods, "mimetype", "application/vnd.oasis.opendocument.text"))),
            "an office document that is not a spreadsheet");
  EXPECT_EQ(found_in(zip_of(ods)), "nothing in the workbook");
}

TEST(BadWorkbook, WithOneWrongByteInAPartIsDamaged) {
  std::string bytes = zip_of(xlsx_parts(row("<c><v>1</v></c>")));
  bytes[bytes.find("<v>1</v>") + 3] = '2';
  EXPECT_NE(found_in(bytes).find("damaged"), std::string::npos);
}

TEST(BadWorkbook, LockedOrOldFormatsSaySo) {
  using namespace std::string_literals;
  PackageParts locked = ods_parts("");
  locked.emplace_back("META-INF/manifest.xml", "<m><encryption-data/></m>");
  EXPECT_EQ(found_in(zip_of(locked)), "a workbook that is locked with a password");
  const std::string compound = "\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1";
  EXPECT_TRUE(is_workbook(compound));
  EXPECT_NE(found_in(compound).find("old office format"), std::string::npos);
  EXPECT_EQ(found_in(compound + "E\0n\0c\0r\0y\0p\0t\0e\0d\0P\0a\0c\0k\0a\0g\0e\0"s),
            "a workbook that is locked with a password");
}

TEST(BadWorkbook, MadeToFillTheMemoryIsRefused) {
  const std::string bomb =
      "<t:table-row t:number-rows-repeated=\"1048576\"><t:table-cell t:number-columns-repeated=\"16384\" "
      "o:value-type=\"float\" o:value=\"1\"/></t:table-row>";
  EXPECT_NE(found_in(zip_of(ods_parts(bomb))).find("50 million cells"), std::string::npos);
  EXPECT_NE(
      found_in(zip_of(xlsx_parts("<sheetData><row r=\"99999999999\"><c><v>1</v></c></row></sheetData>"))),
      "read");
  std::string lying = zip_of({{"_rels/.rels", std::string(100, 'x')}});
  const std::size_t entry = lying.find("PK\x01\x02");
  lying.replace(entry + 24, 4, "\xFF\xFF\xFF\x7F");
  EXPECT_NE(found_in(lying).find("more than 1 GB"), std::string::npos);
}

TEST(Workbook, AnyCutOrFlippedByteEndsInRowsOrAProblem) {
  const std::string whole = bytes_of("tray.xlsx");
  for (std::size_t at = 0; at < whole.size(); at += 97) {
    EXPECT_FALSE(read_workbook(whole.substr(0, at), "t.xlsx"));
    std::string flipped = whole;
    flipped[at] = static_cast<char>(~flipped[at]);
    const auto grids = read_workbook(flipped, "t.xlsx");
    if (!grids) {
      EXPECT_FALSE(grids.problem().advice.empty());
    }
  }
}

}  // namespace
}  // namespace strandbook
