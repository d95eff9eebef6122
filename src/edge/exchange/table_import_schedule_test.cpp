#include <gtest/gtest.h>

#include "edge/exchange/table_import_test.hpp"

namespace strandbook {
namespace {

using test::grids_of;
using test::notes_say;
using test::Texts;
using test::texts_of;

ImportedSchedule schedule_in(const std::string& text, const ImportChoices& choices = {}) {
  auto imported = import_schedule(grids_of(text), choices);
  EXPECT_TRUE(imported) << describe(imported.problem());
  return imported ? *std::move(imported) : ImportedSchedule{};
}

TEST(ImportSchedule, AllFields) {
  const auto got = schedule_in(
      "building|cable|link|strand|fibre|plant|length_m|connections|splices|end_a|end_b|rule|limit_db|"
      "reference_method|cord_grade|"
      "configuration|wavelengths|directions\n"
      "Mill|C1|L1|01|OS2|outside|1200|2|3|Hut|Mast|own:mill|1.9|one-cord|reference|channel|1310/1550|both\n");
  ASSERT_EQ(got.strands.size(), 1U);
  const ScheduledStrand& s = got.strands[0];
  EXPECT_EQ(s.building + s.cable + s.link + s.strand + s.end_a + s.end_b + s.rule,
            "MillC1L101HutMastown:mill");
  EXPECT_EQ(s.fibre, FibreCategory::os2);
  EXPECT_EQ(s.plant, Plant::outside);
  EXPECT_EQ(s.length->value, 1200);
  EXPECT_EQ(s.connections, 2);
  EXPECT_EQ(s.splices, 3);
  EXPECT_EQ(s.fixed_limit->value, 1.9);
  EXPECT_EQ(s.method, ReferenceMethod::one_cord);
  EXPECT_EQ(s.cords, CordGrade::reference_grade);
  EXPECT_EQ(s.configuration, Configuration::channel);
  EXPECT_EQ(s.wavelengths, (std::vector<Nanometres>{{1310}, {1550}}));
  EXPECT_EQ(s.directions, DirectionDemand::both);
  EXPECT_EQ(s.at.row, 2U);
  EXPECT_TRUE(got.unread.empty());
}

TEST(ImportSchedule, OnlyNames) {
  const auto got = schedule_in("id\n007\n1E10\n");
  ASSERT_EQ(got.strands.size(), 2U);
  EXPECT_EQ(got.strands[0].strand, "007");
  EXPECT_EQ(got.strands[1].strand, "1E10");
}

TEST(ImportSchedule, PortsAreEnds) {
  const auto got = schedule_in("cable|strand|near_port|far_port\nK|1|A-9|B-9\n");
  EXPECT_EQ(got.strands[0].end_a, "A-9");
  EXPECT_EQ(got.strands[0].end_b, "B-9");
}

TEST(ImportSchedule, AFibreColumnIsACategoryOrTheStrand) {
  EXPECT_EQ(schedule_in("link|fiber\nL|OM3 50/125\n").strands[0].fibre, FibreCategory::om3);
  EXPECT_EQ(schedule_in("link|fiber\nL|12\n").strands[0].strand, "12");
}

TEST(ImportSchedule, ANumberOfStrandsMakesSoMany) {
  const auto got = schedule_in(
      "label|length_m|fibre|strands|test_date|remark\nD04|80|single-mode|3||new\nD05|70|single-mode||2016|"
      "\n");
  ASSERT_EQ(got.strands.size(), 3U);
  EXPECT_EQ(got.strands[2].link, "D04");
  EXPECT_EQ(got.strands[2].strand, "3");
  EXPECT_EQ(texts_of(got.unread), (Texts{"3 strands: "}));
  EXPECT_TRUE(notes_say(got.notes, "number of strands"));
}

TEST(ImportSchedule, ATitleNamesTheCable) {
  const auto got = schedule_in("Cable ZZ-4||\nstrand|length|\n1|90 m|\nTotal: 1||\n");
  ASSERT_EQ(got.strands.size(), 1U);
  EXPECT_EQ(got.strands[0].cable, "ZZ-4");
  EXPECT_EQ(got.unread.size(), 1U);
}

TEST(ImportSchedule, CellsThatCannotBeAreKeptWithTheirPlace) {
  const auto got = schedule_in(
      "strand|length_m|connections|fibre|limit_db|reference_method\n"
      "a|-4|2|OM3|1|one-cord\n"
      "b|10|2.5|OM3|1|one-cord\n"
      "c|10|2|OM9|1|one-cord\n"
      "d|10|2|OM3|inf|one-cord\n"
      "e|10|2|OM3|1|B\n"
      "f|250 km|2|OM3|1|one-cord\n"
      "g|10|2|OM3|1|one-cord\n"
      "|10|2|OM3|1|one-cord\n");
  // every named strand stays in the plan, but one with an unread cell is in doubt and gets no limit
  ASSERT_EQ(got.strands.size(), 7U);
  for (const ScheduledStrand& strand : got.strands) EXPECT_EQ(strand.doubt.empty(), strand.strand == "g");
  EXPECT_EQ(texts_of(got.unread),
            (Texts{"2 length_m: -4", "3 connections: 2.5", "4 fibre: OM9", "5 limit_db: inf",
                   "6 reference_method: B", "7 length_m: 250 km", "9 : 10 | 2 | OM3 | 1 | one-cord"}));
}

TEST(ImportSchedule, OneRowPerWavelengthIsOneStrand) {
  const auto got = schedule_in("strand|length_m|wavelength_nm\na|100|850\na|100|1300\nb|100|850\n");
  ASSERT_EQ(got.strands.size(), 2U);
  EXPECT_EQ(got.strands[0].wavelengths, (std::vector<Nanometres>{{850}, {1300}}));
}

TEST(ImportSchedule, ADoubtfulRowLeavesItsDoubtOnTheStrandItRepeats) {
  const auto got = schedule_in("strand|fibre|wavelength_nm|loss_dB\na||1310|0.4\na|OM9|1550|0.4\n");
  ASSERT_EQ(got.strands.size(), 1U);
  EXPECT_FALSE(got.strands[0].doubt.empty());
}

TEST(ImportSchedule, AReadingsFileNamesItsStrandsOnce) {
  const auto got = schedule_in(
      "strand|fibre|wavelength_nm|direction|loss_dB\na|OS2|1310|AB|0.4\na|OS2|1310|BA|0.4\nb|OM4|850|AB|0."
      "9\n");
  ASSERT_EQ(got.strands.size(), 2U);
  EXPECT_TRUE(got.strands[0].wavelengths.empty());  // what was measured is not what is demanded
  EXPECT_FALSE(got.strands[0].directions);
}

TEST(ImportSchedule, ConfigurationInWords) {
  const auto got = schedule_in("link|what_was_measured\nD|link between panels\nE|channel with cords\n");
  EXPECT_EQ(got.strands[0].configuration, Configuration::link);
  EXPECT_EQ(got.strands[1].configuration, Configuration::channel);
}

TEST(ImportSchedule, TheSheetWithoutReadingsIsTheSchedule) {
  std::vector<Grid> sheets;
  sheets.push_back(test::grid_of("strand|loss dB\nx|0.1\n"));
  sheets.push_back(test::grid_of("strand|length_m\na|10\n"));
  const auto got = import_schedule(sheets, {});
  ASSERT_TRUE(got);
  ASSERT_EQ(got->strands.size(), 1U);
  EXPECT_EQ(got->strands[0].strand, "a");
}

TEST(ImportReferences, LongAndWide) {
  const auto got =
      import_references(grids_of("reference|wavelength_nm|power_dbm|method|time|source|meter|cords|operator\n"
                                 "R1|1310|-9.11|one-cord|2026-03-01T07:00:00+01:00|LS|PM|TC|Kim\n"
                                 "R2|1550|-9.52|B|07:05|LS|PM|TC|Kim\n"
                                 "R3|1550|LO|one-cord|07:06||||\n"
                                 "R4|1550||one-cord|07:06||||\n"),
                        {});
  ASSERT_TRUE(got);
  ASSERT_EQ(got->references.size(), 2U);
  const Reference& first = got->references[0];
  EXPECT_EQ(first.id + first.source + first.meter + first.cords + first.operator_name, "R1LSPMTCKim");
  EXPECT_EQ(first.method, ReferenceMethod::one_cord);
  EXPECT_EQ(iso_text(*first.time), "2026-03-01T06:00:00Z");
  EXPECT_FALSE(got->references[1].method);  // a letter is no method
  EXPECT_EQ(texts_of(got->unread),
            (Texts{"3 method: B", "4 power_dbm: LO", "5 : R4 | 1550 |  | one-cord | 07:06"}));
  const auto wide =
      import_references(grids_of("method|power 850 (dBm)|power 1300 (dBm)\none-cord|-20.1|-19.6\n"), {});
  ASSERT_TRUE(wide);
  ASSERT_EQ(wide->references.size(), 2U);
  EXPECT_EQ(wide->references[1].wavelength.value, 1300);
  EXPECT_EQ(wide->references[1].power.value, -19.6);
}

TEST(ImportReferences, RowsOfReadingsAreNoReferences) {
  const auto got = import_references(grids_of("strand|nm|power_dBm\n|850|-20\nA|850|-21\n"), {});
  ASSERT_TRUE(got);
  EXPECT_EQ(got->references.size(), 1U);
  EXPECT_EQ(texts_of(got->unread), (Texts{"3 : A | 850 | -21"}));
}

}  // namespace
}  // namespace strandbook
