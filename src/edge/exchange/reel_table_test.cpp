#include "edge/exchange/reel_table.hpp"

#include <gtest/gtest.h>

#include "edge/exchange/table_import_test.hpp"

namespace strandbook {
namespace {

ReadRows<ReelReading> reels_in(const std::string& text) {
  auto read = read_reels(test::grids_of(text));
  EXPECT_TRUE(read) << (read ? "" : describe(read.problem()));
  return read ? std::move(*read) : ReadRows<ReelReading>{};
}

TEST(ReelTable, LongForm) {
  const auto read = reels_in(
      "reel|strand|wavelength_nm|maker_dB_per_km|site_dB_per_km\nR8|1|1550|0.200|0.205\nR8|3|1310|0.340|0."
      "360\n");
  ASSERT_EQ(read.rows.size(), 2u);
  EXPECT_EQ(read.rows[1].reel, "R8");
  EXPECT_EQ(read.rows[1].wavelength.value, 1310);
  EXPECT_EQ(read.rows[1].maker->value, 0.340);
  EXPECT_EQ(read.rows[1].site->value, 0.360);
}

TEST(ReelTable, WideFormInGermanWithCommas) {
  const auto read = reels_in(
      "Trommel|Faser|Hersteller 1310 nm (dB/km)|Gemessen 1310 nm (dB/km)|Hersteller 1550 (dB/km)|Gemessen "
      "1550 (dB/km)|Freigabe\n"
      "T1|1|0,340|0,345|0,200||Eigentümer\n");
  ASSERT_EQ(read.rows.size(), 2u);
  EXPECT_EQ(read.rows[0].wavelength.value, 1310);
  EXPECT_EQ(read.rows[0].site->value, 0.345);
  EXPECT_EQ(read.rows[1].maker->value, 0.200);
  EXPECT_FALSE(read.rows[1].site);
  EXPECT_EQ(read.rows[1].approved_by, "Eigentümer");
}

TEST(ReelTable, WhatCannotBeUsedIsNamed) {
  const auto read =
      reels_in("reel|strand|wavelength_nm|maker|site\nR8|1|1550|0.200|high\nR8|2||0.200|0.205\n");
  EXPECT_TRUE(read.rows.empty());
  EXPECT_EQ(read.unread.size(), 2u);
  EXPECT_FALSE(read_reels(test::grids_of("reel|strand\nR8|1\n")));
}

}  // namespace
}  // namespace strandbook
