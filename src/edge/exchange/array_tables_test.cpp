#include "edge/exchange/array_tables.hpp"

#include <gtest/gtest.h>

#include "edge/exchange/cord_table.hpp"
#include "edge/exchange/inspection_table.hpp"
#include "edge/exchange/table_import_test.hpp"

namespace strandbook {
namespace {

using test::grids_of;

TEST(ArrayTables, TracedPositions) {
  const auto read = read_traced_arrays(
      grids_of("Trunk|Near|Far|Fibres\nT1|1|12|12\nt1|2||12\nT2|1|dark|\n|3|1|\nT3|x|1|\n"));
  ASSERT_TRUE(read) << describe(read.problem());
  ASSERT_EQ(read->rows.size(), 3u);
  EXPECT_EQ(read->rows[2].name, "T3");  // its one row cannot be read, and it is there all the same
  EXPECT_TRUE(read->rows[2].lanes.empty());
  ASSERT_EQ(read->rows[0].lanes.size(), 2u);
  EXPECT_EQ(read->rows[0].lanes[0].far, 12);
  EXPECT_FALSE(read->rows[0].lanes[1].far);
  EXPECT_EQ(read->rows[0].fibres, 12);
  EXPECT_EQ(read->unread.size(), 2u);
}

TEST(ArrayTables, OneArrayNeedsNoName) {
  const auto read = read_traced_arrays(grids_of("near|far\n1|1\n2|2\n"));
  ASSERT_TRUE(read);
  ASSERT_EQ(read->rows.size(), 1u);
  EXPECT_EQ(read->rows[0].name, "array");
}

TEST(ArrayTables, TwoTypesOfOneArrayAreRefused) {
  const auto read = read_wanted_arrays(grids_of("array|polarity|fibres\nT1|A|8\nT 1|B|\nT2||24\n"));
  ASSERT_TRUE(read);
  ASSERT_EQ(read->rows.size(), 2u);
  EXPECT_EQ(read->rows[0].type, "A");
  EXPECT_EQ(read->rows[0].fibres, 8);
  ASSERT_EQ(read->unread.size(), 1u);
  EXPECT_NE(read->unread[0].advice.find("type A"), std::string::npos);
}

TEST(ArrayTables, LossesAndLengthsWithUnits) {
  const auto read = read_measured_arrays(grids_of(
      "cable|lane|IL (dB)|limit|length ft|nm|dir\nT1|1|0.31|0.75|100|850|AB\nT1|2|LO||101|850|AB\n"));
  ASSERT_TRUE(read) << describe(read.problem());
  const LaneValue& lane = read->rows.at(0).lanes.at(0);
  EXPECT_EQ(lane.series, "850 nm AB");
  EXPECT_EQ(lane.limit, Decibels{0.75});
  EXPECT_NEAR(lane.length->value, 30.48, 1e-9);
  EXPECT_TRUE(read->rows[0].lanes.at(1).dark);
  EXPECT_FALSE(read_measured_arrays(grids_of("cable|lane\nT1|1\n")));
  EXPECT_FALSE(read_measured_arrays(grids_of("cable|lane|loss dBm\nT1|1|-20\n")));
}

TEST(CordTable, ReflectanceIsReturnLossTurned) {
  const auto read =
      read_matings(grids_of("cord|end|IL|reflectance dB\nJ1|A|0.12|-46.5\nJ1|B|dark|-50\nJ1|B|0.1|50\n"));
  ASSERT_TRUE(read);
  ASSERT_EQ(read->rows.size(), 1u);
  EXPECT_EQ(read->rows[0].return_loss, Decibels{46.5});
  EXPECT_EQ(read->unread.size(), 2u);  // no light is no loss; a reflectance is never positive
}

TEST(InspectionTable, MarksOfOneFaceComeTogether) {
  const auto read =
      read_inspections(grids_of("link|end|fibre|what|zone|size um|defect\nL1|A|SM|x|B|2|scratch\n"));
  ASSERT_TRUE(read) << describe(read.problem());
  const auto faces =
      read_inspections(grids_of("link|end|fibre|defect|zone|width|count|limit\n"
                                "L1|A|SM APC|scratch|core|2|3|\nL1|a|SM APC|pit|zone b|4||5\n"
                                "L1|B|OM3|clean||||\nL1|B|SM|clean||||\n|||pit|B|2||\n"));
  ASSERT_TRUE(faces);
  ASSERT_EQ(faces->rows.size(), 2u);
  const InspectedFace& first = faces->rows[0];
  EXPECT_EQ(first.kind, EndFaceKind::single_mode_apc);
  ASSERT_EQ(first.marks.size(), 2u);
  EXPECT_EQ(first.marks[0].count, 3);
  EXPECT_EQ(first.marks[1].zone, EndFaceZone::cladding);
  EXPECT_EQ(first.marks[1].own_limit, Micrometres{5});
  EXPECT_EQ(faces->rows[1].unread.size(), 1u);  // two kinds of one face
  EXPECT_EQ(faces->unread.size(), 2u);
}

}  // namespace
}  // namespace strandbook
