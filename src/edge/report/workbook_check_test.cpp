// A workbook of which something was lost on the way to the disk.

#include "edge/report/workbook_check.hpp"

#include <gtest/gtest.h>
#include <xlsxwriter.h>

#include <fstream>

#include "edge/report/sample_job.hpp"

namespace strandbook {
namespace {

/// Two sheets with 300 and with 2 numbers.
std::string workbook() {
  const std::string path = testing::TempDir() + "whole.xlsx";
  lxw_workbook* book = workbook_new(path.c_str());
  lxw_worksheet* many = workbook_add_worksheet(book, nullptr);
  for (lxw_row_t row = 0; row < 300; ++row) worksheet_write_number(many, row, 0, 0.1 * row, nullptr);
  lxw_worksheet* few = workbook_add_worksheet(book, nullptr);
  for (lxw_row_t row = 0; row < 2; ++row) worksheet_write_number(few, row, 0, row, nullptr);
  EXPECT_EQ(workbook_close(book), LXW_NO_ERROR);
  return path;
}

std::optional<std::string> damage_of_bytes(const std::string& bytes) {
  const std::string path = testing::TempDir() + "hurt.xlsx";
  std::ofstream(path, std::ios::binary) << bytes;
  return damage_of(path, {300, 2});
}

TEST(WorkbookCheck, WholeWorkbookIsWhole) { EXPECT_EQ(damage_of(workbook(), {300, 2}), std::nullopt); }

TEST(WorkbookCheck, MissingCellsAndSheetsAreTold) {
  const std::string path = workbook();
  EXPECT_EQ(damage_of(path, {301, 2}), "xl/worksheets/sheet1.xml has 300 of 301 cells");
  EXPECT_EQ(damage_of(path, {300, 2, 0}), "a sheet is missing");
}

TEST(WorkbookCheck, CutOffAtAnyPlaceIsTold) {
  const std::string whole = sample::bytes_of(workbook());
  for (std::size_t size = 0; size < whole.size(); size += 97)
    EXPECT_TRUE(damage_of_bytes(whole.substr(0, size))) << size;
}

TEST(WorkbookCheck, ChangedContentOfASheetIsTold) {
  std::string bytes = sample::bytes_of(workbook());
  const std::size_t sheet = bytes.find("xl/worksheets/sheet1.xml");
  bytes.at(sheet + 200) ^= 1;
  EXPECT_TRUE(damage_of_bytes(bytes));
}

}  // namespace
}  // namespace strandbook
