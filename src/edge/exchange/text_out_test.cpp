#include "edge/exchange/text_out.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "edge/exchange/output_file.hpp"

namespace strandbook {
namespace {

std::string decimal(double value, int decimals) {
  std::string out;
  append_decimal(out, value, decimals);
  return out;
}

TEST(TextOut, Decimals) {
  EXPECT_EQ(decimal(1.85, 6), "1.85");
  EXPECT_EQ(decimal(-20.10 + 21.95, 6), "1.85");
  EXPECT_EQ(decimal(-0.0000001, 6), "0");
  EXPECT_EQ(decimal(-0.05, 2), "-0.05");
  EXPECT_EQ(decimal(1550, 3), "1550");
  EXPECT_EQ(decimal(0.000001, 6), "0.000001");
}

RC_GTEST_PROP(TextOut, ADecimalReadsBack, ()) {
  const double value = *rc::gen::inRange(-100000000, 100000000) / 1e6;
  RC_ASSERT(std::abs(std::stod(decimal(value, 6)) - value) < 1e-9);
}

TEST(TextOut, Quotes) {
  std::string json;
  append_json_text(json, "A\"1\\\n\x01");
  EXPECT_EQ(json, "\"A\\\"1\\\\\\n\\u0001\"");
  std::string csv;
  append_csv_cell(csv, "a,\"b\"");
  EXPECT_EQ(csv, "\"a,\"\"b\"\"\"");
}

TEST(TextOut, FormulasBecomeTexts) {
  for (const char* text : {"=1+1", "+1", "-2+3", "@SUM(A1)", "\t=1"}) {
    std::string csv;
    append_csv_cell(csv, text);
    EXPECT_EQ(csv, std::string("'") + text);
  }
  std::string csv;
  append_csv_cell(csv, "=1,2");
  EXPECT_EQ(csv, "\"'=1,2\"");
}

TEST(OutputFile, IsThereWholeOrNotAtAll) {
  const std::string path = testing::TempDir() + "/strandbook-out.txt";
  {
    auto file = OutputFile::create(path);
    ASSERT_TRUE(file);
    file->write("half");
  }
  EXPECT_EQ(std::fopen(path.c_str(), "rb"), nullptr);
  EXPECT_TRUE(write_file(path, "whole"));
  EXPECT_EQ(std::remove(path.c_str()), 0);
  EXPECT_FALSE(write_file("/nowhere/at/all.txt", "x"));
}

// /dev/full is the kernel's own full disk.
TEST(OutputFile, AFullDiskIsSaidSo) {
  const Result<Done> done = write_file("/dev/full", std::string(1 << 20, 'x'));
  ASSERT_FALSE(done);
  EXPECT_NE(describe(done.problem()).find("disk is full"), std::string::npos);
}

}  // namespace
}  // namespace strandbook
