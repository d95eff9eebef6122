#include "edge/exchange/splitter_file.hpp"

#include <gtest/gtest.h>

namespace strandbook {
namespace {

std::string file_with(const std::string& rows) {
  return R"({"document": "own", "edition": "", "splitters": [)" + rows +
         R"(], "spread_allowed": {"value": 1, "unit": "dB", "clause": "", "standing": "own"}})";
}

TEST(SplitterFile, ShippedFileIsInOrder) {
  const auto practice = read_splitters(std::string(STRANDBOOK_ROOT) + "/rules/practice/splitters.json");
  ASSERT_TRUE(practice) << describe(practice.problem());
  EXPECT_EQ(practice->rows.size(), 7u);
}

TEST(SplitterFile, WhatCannotBeIsRefusedWithItsLine) {
  const std::string row =
      R"({"outputs": 8, "loss": {"value": VALUE, "unit": "dB", "clause": "", "standing": "own"}})";
  const auto with = [&](const std::string& value) {
    std::string text = row;
    return text.replace(text.find("VALUE"), 5, value);
  };
  EXPECT_TRUE(read_splitters_text(file_with(with("10.5")), "s.json"));
  const auto low = read_splitters_text(file_with(with("8.9")), "s.json");
  ASSERT_FALSE(low);
  EXPECT_EQ(low.problem().at.row, 1u);
  const auto twice = read_splitters_text(file_with(with("10.5") + "," + with("11")), "s.json");
  ASSERT_FALSE(twice);
  EXPECT_FALSE(read_splitters_text("{}", "s.json"));
}

}  // namespace
}  // namespace strandbook
