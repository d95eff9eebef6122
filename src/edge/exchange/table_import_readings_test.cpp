#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <numeric>
#include <random>

#include "edge/exchange/table_import_test.hpp"

namespace strandbook {
namespace {

using test::grid_of;
using test::grids_of;
using test::notes_say;
using test::Texts;
using test::texts_of;

ImportedReadings readings_in(const std::string& text, const ImportChoices& choices = {},
                             const Schedule* schedule = nullptr) {
  auto imported = import_readings(grids_of(text), choices, schedule);
  EXPECT_TRUE(imported) << describe(imported.problem());
  return imported ? *std::move(imported) : ImportedReadings{};
}

TEST(ImportReadings, LongForm) {
  const auto got = readings_in(
      "link|strand|wavelength_nm|direction|loss_db|time|operator\n"
      "L7|03|1310|A>B|0.41|2026-02-03 09:15|Kim\n"
      "L7|03|1550|b to a|0.38|2026-02-03 09:16|Kim\n");
  EXPECT_EQ(texts_of(got.readings), (Texts{"L7/03 1310 AB 0.41dB", "L7/03 1550 BA 0.38dB"}));
  const Reading& first = got.readings.rows[0];
  EXPECT_EQ(first.operator_name, "Kim");
  EXPECT_EQ(iso_text(first.time), "2026-02-03T09:15:00");
  EXPECT_EQ(first.row, 2U);
  EXPECT_EQ(first.column, 5U);
  EXPECT_EQ(got.readings.files[first.file].file, "t.csv");
  EXPECT_TRUE(got.unread.empty());
}

TEST(ImportReadings, WideFormBlankCellsAreNoReadings) {
  const auto got = readings_in(
      "Core|Loss 850 AB (dB)|Loss 850 BA (dB)|Loss 1300 AB (dB)\n"
      "1|0.9|-|0.6\n"
      "\n"
      "2||0.8|\n"
      "3|||\n");
  EXPECT_EQ(texts_of(got.readings), (Texts{"/1 850 AB 0.9dB", "/1 1300 AB 0.6dB", "/2 850 BA 0.8dB"}));
  EXPECT_TRUE(got.unread.empty());
  EXPECT_TRUE(notes_say(got.notes, "1 rows hold no value"));
}

TEST(ImportReadings, LevelsPerWavelength) {
  const auto got = readings_in("strand|length_m|power_850_dBm|power_1300_dBm\nQ-1|90|-19.8|-19.1\n");
  EXPECT_EQ(texts_of(got.readings), (Texts{"/Q-1 850 -- -19.8dBm", "/Q-1 1300 -- -19.1dBm"}));
  EXPECT_EQ(got.readings.rows[0].length_m, 90);
}

TEST(ImportReadings, ReferencesAmongReadings) {
  const auto got = readings_in(
      "time|kind|strand|nm|power_dBm|method\n"
      "07:40|reference||1310|-9.5|one-cord\n"
      "08:10|reading|K3|1310|-10.4|\n"
      "11:55|reference-check||1310|-9.7|one-cord\n"
      "12:00|guess|K4|1310|-9.9|\n");
  EXPECT_EQ(texts_of(got.readings), (Texts{"/K3 1310 -- -10.4dBm"}));
  ASSERT_EQ(got.references.size(), 2U);
  EXPECT_EQ(got.references[0].kind, ReferenceKind::opening);
  EXPECT_EQ(got.references[1].kind, ReferenceKind::closing_check);
  EXPECT_EQ(got.references[1].power.value, -9.7);
  EXPECT_EQ(texts_of(got.unread), (Texts{"5 kind: guess"}));
}

TEST(ImportReadings, MeterSettingAndSourceStayApart) {
  const auto got = readings_in("strand|source_nm|meter_setting_nm|power_dBm\nT1|1550|1310|-8.4\n");
  EXPECT_EQ(got.readings.rows[0].wavelength.value, 1550);
  EXPECT_EQ(got.readings.rows[0].meter_setting.value, 1310);
}

TEST(ImportReadings, GermanFileWithDecimalComma) {
  const auto got = import_readings(
      grids_of(
          "Strang|Länge m|Dämpfung 850 nm|Dämpfung 1300 nm\nH-1|2.400,5|1,93|0,88\nH-2|1.250|1,90|0,90\n",
          "UTF-8; ';' between cells"),
      {});
  ASSERT_TRUE(got);
  EXPECT_EQ(texts_of(got->readings),
            (Texts{"/H-1 850 -- 1.93dB", "/H-1 1300 -- 0.88dB", "/H-2 850 -- 1.9dB", "/H-2 1300 -- 0.9dB"}));
  EXPECT_DOUBLE_EQ(got->readings.rows[0].length_m, 2400.5);
  EXPECT_DOUBLE_EQ(got->readings.rows[2].length_m, 1250);  // as the rest of the file proves
  EXPECT_TRUE(notes_say(got->notes, "decimal comma, proved by row 2"));
}

TEST(ImportReadings, ALoneCommaIsNotGuessed) {
  const auto got = readings_in("strand|length_m|loss_db\nx|1,250|1\ny|300|2\n");
  EXPECT_EQ(texts_of(got.unread), (Texts{"2 length_m: 1,250"}));
  EXPECT_EQ(got.readings.rows.size(), 2U);
  const auto proved = readings_in("strand|length_m|loss_db\nx|1,250|1\ny|300.5|2\n");
  EXPECT_EQ(proved.readings.rows[0].length_m, 1250);
}

TEST(ImportReadings, TwoHeadingRowsWithMergedCells) {
  const auto got = readings_in(
      "Cable QX-3|||||\n"
      "Strand|1310 nm||1550 nm||Length\n"
      "|A-B (dB)|B-A (dB)|A-B (dB)|B-A (dB)|(ft)\n"
      "7|0.31|0.33|0.22|0.21|1000\n"
      "|||||\n"
      "Total strands: 1|||||\n");
  EXPECT_EQ(texts_of(got.readings),
            (Texts{"/7 1310 AB 0.31dB", "/7 1310 BA 0.33dB", "/7 1550 AB 0.22dB", "/7 1550 BA 0.21dB"}));
  EXPECT_NEAR(got.readings.rows[0].length_m, 304.8, 1e-9);
  ASSERT_EQ(got.unread.size(), 1U);
  EXPECT_EQ(got.unread[0].at.row, 6U);
  EXPECT_NE(got.unread[0].wanted.find("total row, not a strand"), std::string::npos);
  EXPECT_TRUE(notes_say(got.notes, "cable QX-3"));
}

TEST(ImportReadings, WavelengthsBelowOneMergedHeading) {
  const auto got = readings_in("Strand|Loss (dB)|\n|850|1300\n1|0.5|0.4\n2|0.6|0.5\n");
  EXPECT_EQ(texts_of(got.readings),
            (Texts{"/1 850 -- 0.5dB", "/1 1300 -- 0.4dB", "/2 850 -- 0.6dB", "/2 1300 -- 0.5dB"}));
}

TEST(ImportReadings, ABareWavelengthNeedsAWordForWhatItIs) {
  const auto untold = import_readings(grids_of("strand|850 nm|1300 nm\n1|0.5|0.4\n"), {});
  ASSERT_FALSE(untold);
  EXPECT_NE(untold.problem().advice.find("--columns"), std::string::npos);
  const auto titled = readings_in("Insertion loss in dB\nstrand|850 nm|1300 nm\n1|0.5|0.4\n");
  EXPECT_EQ(texts_of(titled.readings), (Texts{"/1 850 -- 0.5dB", "/1 1300 -- 0.4dB"}));
  const auto mapped =
      readings_in("strand|850 nm|1300 nm\n1|0.5|0.4\n", {.columns = "loss_db=850 nm; loss_db=1300 nm"});
  EXPECT_EQ(texts_of(mapped.readings), (Texts{"/1 850 -- 0.5dB", "/1 1300 -- 0.4dB"}));
}

TEST(ImportReadings, ModuleLevels) {
  const auto got =
      readings_in("port|rx\nS-1|0.00 mW (-24.05 dBm)\nS-2|0.0001 mW / -40.00 dBm\nS-3|21.9dBm\nS-4|LO\n");
  EXPECT_EQ(texts_of(got.readings), (Texts{"/S-1 0 -- -24.05dBm", "/S-2 0 -- dark", "/S-4 0 -- dark"}));
  ASSERT_EQ(got.unread.size(), 1U);
  EXPECT_EQ(got.unread[0].advice, "minus sign left out?");
}

TEST(ImportReadings, UnusedLanesAreNoMilliwatt) {
  const auto got =
      readings_in("port|lane|rx_dBm|tx_mW|tx_dBm|low_warn_dBm\nP|1|0.8|1.1|0.4|-6\nP|2|0.0||0.0|-6\n");
  EXPECT_EQ(texts_of(got.readings), (Texts{"P/1 0 -- 0.8dBm"}));
  EXPECT_EQ(texts_of(got.unread), (Texts{"3 rx_dBm: 0.0"}));
}

TEST(ImportReadings, MilliwattsStandInWhereTheLevelIsBlank) {
  const auto got = readings_in("strand|rx_mW|rx_dBm\na|0.5|-3.01\nb|0.1|\n");
  EXPECT_EQ(texts_of(got.readings), (Texts{"/a 0 -- -3.01dBm", "/b 0 -- -10dBm"}));
}

TEST(ImportReadings, NamesStayAsWritten) {
  const auto got = readings_in("id|loss_dB\n 007 |0.1\n1E10|0.2\n3-4|0.3\n1.00E+10|0.4\n");
  EXPECT_EQ(texts_of(got.readings),
            (Texts{"/007 0 -- 0.1dB", "/1E10 0 -- 0.2dB", "/3-4 0 -- 0.3dB", "/1.00E+10 0 -- 0.4dB"}));
}

TEST(ImportReadings, ALinkWithoutStrandIsFine) {
  EXPECT_EQ(texts_of(readings_in("link|loss_dB\nR9|1.1\n").readings), (Texts{"R9/ 0 -- 1.1dB"}));
}

TEST(ImportReadings, NegativeLossesAreNeverTurnedSilently) {
  const std::string all_negative = "strand|Attenuation (dB)\na|-0.3\nb|-0.5\n";
  const auto as_written = readings_in(all_negative);
  EXPECT_EQ(texts_of(as_written.readings), (Texts{"/a 0 -- -0.3dB", "/b 0 -- -0.5dB"}));
  EXPECT_TRUE(notes_say(as_written.notes, "--loss-sign change-of-level"));
  const auto turned = readings_in(all_negative, {.columns = {}, .loss_sign = LossSign::change_of_level});
  EXPECT_EQ(texts_of(turned.readings), (Texts{"/a 0 -- 0.3dB", "/b 0 -- 0.5dB"}));
  const auto mixed =
      readings_in("strand|loss dB\na|-0.3\nb|0.5\n", {.columns = {}, .loss_sign = LossSign::change_of_level});
  EXPECT_EQ(texts_of(mixed.readings), (Texts{"/a 0 -- -0.3dB", "/b 0 -- 0.5dB"}));
  EXPECT_TRUE(notes_say(mixed.notes, "kept as written"));
}

TEST(ImportReadings, OneDateProvesTheOrderOfAll) {
  const auto got = readings_in("strand|Date|loss dB\na|05/06/2026|0.1\nb|17/06/2026|0.2\n");
  EXPECT_EQ(iso_text(got.readings.rows[0].time), "2026-06-05");
  EXPECT_TRUE(notes_say(got.notes, "day first, proved by row 3 (17/06/2026)"));
}

TEST(ImportReadings, AnOpenDateOrderKeepsTheReading) {
  const std::string text = "strand|Date|loss dB\na|05/06/2026|0.1\nb|07/06/2026|0.2\nc|2026-06-08|0.3\n";
  const auto got = readings_in(text);
  ASSERT_EQ(got.readings.rows.size(), 3U);
  EXPECT_FALSE(got.readings.rows[0].has_time);
  EXPECT_TRUE(got.readings.rows[2].has_time);
  EXPECT_EQ(texts_of(got.unread), (Texts{"2 Date: 05/06/2026 (and 1 more cells like it)"}));
  const auto settled = readings_in(text, {.columns = {}, .date_order = DateOrder::month_first});
  EXPECT_EQ(iso_text(settled.readings.rows[0].time), "2026-05-06");
  EXPECT_TRUE(settled.unread.empty());
}

TEST(ImportReadings, DateAndTimeColumnsJoin) {
  const auto got =
      readings_in("strand|Datum|Uhrzeit|dB\na|03.02.2026|8:12 pm|0.1\nb|03.02.2026|nonsense|0.1\n");
  EXPECT_EQ(iso_text(got.readings.rows[0].time), "2026-02-03T20:12:00");
  EXPECT_EQ(iso_text(got.readings.rows[1].time), "2026-02-03");
  EXPECT_EQ(texts_of(got.unread), (Texts{"3 Uhrzeit: nonsense"}));
}

Schedule two_strands() {
  Schedule schedule(2);
  schedule[0].strand = "S1";
  schedule[0].end_a = "Room 1";
  schedule[0].end_b = "Room 2";
  schedule[1].strand = "S2";
  return schedule;
}

TEST(ImportReadings, FromAndToAreToldByTheSchedule) {
  const Schedule schedule = two_strands();
  const auto got = readings_in(
      "id|from|to|il\nS1|room 2|ROOM1|0.1\nS1|Room 1|Room 2|0.2\nS2|Room 1|Room 2|0.3\nS1|Room 1|Room "
      "9|0.4\n",
      {}, &schedule);
  EXPECT_EQ(texts_of(got.readings), (Texts{"/S1 0 BA 0.1dB", "/S1 0 AB 0.2dB"}));
  EXPECT_EQ(texts_of(got.unread), (Texts{"4 from: Room 1", "5 from: Room 1"}));
  const auto arrow = readings_in("id|dir|il\nS1|Room 2 -> Room 1|0.1\nS1|sideways|0.1\n", {}, &schedule);
  EXPECT_EQ(texts_of(arrow.readings), (Texts{"/S1 0 BA 0.1dB"}));
  EXPECT_EQ(texts_of(arrow.unread), (Texts{"3 dir: sideways"}));
}

TEST(ImportReadings, ExpandedUncertaintyIsHalved) {
  EXPECT_DOUBLE_EQ(readings_in("strand|loss dB|U (dB)\na|0.5|0.2\n").readings.rows[0].standard_uncertainty_db,
                   0.1);
  EXPECT_DOUBLE_EQ(
      readings_in("strand|loss dB|uncertainty_db\na|0.5|0.2\n").readings.rows[0].standard_uncertainty_db,
      0.2);
  EXPECT_EQ(texts_of(readings_in("strand|loss dB|u dB\na|0.5|-0.2\n").unread), (Texts{"2 u dB: -0.2"}));
}

TEST(ImportReadings, EveryRowIsUsedOrKeptWithItsPlace) {
  const auto got = readings_in(
      "strand|wavelength_nm|loss_db\n"
      "a|1310|0.1\n"
      "b|1310|1,2OO\n"
      "c|131|0.1\n"
      "|1310|0.1\n"
      "d|1310|\n"
      "e|1310|0|71\n"
      "f|1310|nan\n"
      "strand|wavelength_nm|loss_db\n"
      "g|1310|-12.1 dBm\n"
      "Mean|1310|0.1\n");
  EXPECT_EQ(texts_of(got.readings), (Texts{"/a 1310 -- 0.1dB"}));
  EXPECT_EQ(texts_of(got.unread), (Texts{"3 loss_db: 1,2OO", "4 wavelength_nm: 131", "5 : 1310 | 0.1",
                                         "6 loss_db: ", "7 : e | 1310 | 0 | 71", "8 loss_db: nan",
                                         "10 loss_db: -12.1 dBm", "11 : Mean | 1310 | 0.1"}));
  EXPECT_EQ(got.unread[0].advice, "letter O, not zero?");
  EXPECT_TRUE(notes_say(got.notes, "row 9 repeats the headings"));
}

TEST(ImportReadings, AWideRowMayBePartlyUsed) {
  const auto got = readings_in("strand|loss_850_dB|loss_1300_dB\na|0.9|oops\n");
  EXPECT_EQ(texts_of(got.readings), (Texts{"/a 850 -- 0.9dB"}));
  EXPECT_EQ(texts_of(got.unread), (Texts{"2 loss_1300_dB: oops"}));
}

TEST(ImportReadings, MarginIsNoLoss) {
  const auto got = readings_in("strand|Margin (dB)|Loss (dB)\na|1.5|0.4\n");
  EXPECT_EQ(texts_of(got.readings), (Texts{"/a 0 -- 0.4dB"}));
  EXPECT_TRUE(notes_say(got.notes, "columns not used: Margin (dB)"));
  EXPECT_FALSE(import_readings(grids_of("strand|Margin (dB)\na|1.5\n"), {}));
}

TEST(ImportReadings, TheSecondOfTwoEqualColumnsIsNotUsed) {
  const auto got = readings_in("strand|Loss (dB)|Loss (dB)\na|0.5|0.7\n");
  EXPECT_EQ(texts_of(got.readings), (Texts{"/a 0 -- 0.5dB"}));
  EXPECT_TRUE(notes_say(got.notes, "is not used: \"Loss (dB)\" already gives it"));
}

TEST(ImportReadings, TraceEventsAreNoReadings) {
  const auto got = import_readings(grids_of("strand|position_m|loss_dB\na|812|0.07\n"), {});
  ASSERT_FALSE(got);
  EXPECT_NE(got.problem().advice.find("backscatter"), std::string::npos);
}

TEST(ImportReadings, ThePersonMapsColumns) {
  const auto got =
      readings_in("Kabelseite|Messung 7\nx1|0.44\n",
                  {.columns = "strand=kabelseite; readings.loss_db=Messung 7\nwavelength_nm:=1310; "
                              "schedule.fibre=Typ; limit_db=G"});
  EXPECT_EQ(texts_of(got.readings), (Texts{"/x1 1310 -- 0.44dB"}));
}

TEST(ImportReadings, AWrongMapIsExplained) {
  const auto grids = grids_of("strand|loss_db\na|0.1\n");
  for (const std::string columns :
       {"colour=strand", "loss_db=Verlust", "nonsense", "books.loss_db=x", "loss_db="}) {
    const auto got = import_readings(grids, {.columns = columns});
    ASSERT_FALSE(got) << columns;
    EXPECT_FALSE(got.problem().advice.empty()) << columns;
  }
  const auto missing = import_readings(grids, {.columns = "loss_db=Verlust"});
  EXPECT_EQ(missing.problem().found, "headings: strand, loss_db");
}

TEST(ImportReadings, FilesWithoutTheNeededAreRefused) {
  EXPECT_FALSE(import_readings({}, {}));
  EXPECT_FALSE(import_readings(grids_of(""), {}));
  EXPECT_EQ(import_readings(grids_of("strand|loss_db\n"), {}).problem().found, "no row of data");
  EXPECT_EQ(import_readings(grids_of("strand|loss_db\n|\n"), {}).problem().found, "no row of data");
  const auto none = import_readings(grids_of("fruit|weight\napple|0.2\n"), {});
  ASSERT_FALSE(none);
  EXPECT_EQ(none.problem().found, "headings: fruit, weight");
}

TEST(ImportReadings, SheetsNamedByTheirTitles) {
  std::vector<Grid> sheets;
  sheets.push_back(grid_of("Cable K-1|\nstrand|loss dB\n1|0.1\n"));
  sheets.push_back(grid_of("Cable K-2|\nstrand|loss dB\n1|0.2\n"));
  sheets.push_back(grid_of("notes for the office\n"));
  const auto got = import_readings(sheets, {});
  ASSERT_TRUE(got);
  EXPECT_EQ(texts_of(got->readings), (Texts{"K-1/1 0 -- 0.1dB", "K-2/1 0 -- 0.2dB"}));
  EXPECT_EQ(got->readings.rows[1].file, 1U);
  EXPECT_TRUE(notes_say(got->notes, "sheet not read as readings"));
}

/// A row of the long form, cell by cell in the order of `long_headings`.
const Texts long_headings = {"link", "strand", "wavelength_nm", "direction", "loss_db", "time", "operator"};

std::string table_text(const std::vector<Texts>& rows, const std::vector<std::size_t>& order) {
  std::string text;
  for (const Texts& row : rows)
    for (std::size_t i = 0; i < order.size(); ++i)
      text += row[order[i]] + (i + 1 < order.size() ? "|" : "\n");
  return text;
}

RC_GTEST_PROP(ImportReadingsProperty, TheOrderOfColumnsDoesNotMatter, ()) {
  std::vector<Texts> rows = {long_headings};
  const int count = *rc::gen::inRange(1, 20);
  for (int i = 0; i < count; ++i)
    rows.push_back(
        {fmt::format("L{}", *rc::gen::inRange(0, 5)), fmt::format("{:03}", *rc::gen::inRange(0, 999)),
         *rc::gen::elementOf(Texts{"850", "1310", "1550"}), *rc::gen::elementOf(Texts{"AB", "BA", "A>B", ""}),
         fmt::format("{:.2f}", *rc::gen::inRange(-500, 5000) / 100.0),
         fmt::format("2026-05-{:02} 10:00", 1 + i), "Kim"});
  std::vector<std::size_t> straight(long_headings.size());
  std::iota(straight.begin(), straight.end(), 0U);
  std::vector<std::size_t> shuffled = straight;
  std::mt19937 random(*rc::gen::arbitrary<std::uint32_t>());
  std::shuffle(shuffled.begin(), shuffled.end(), random);
  const auto a = import_readings(grids_of(table_text(rows, straight)), {});
  const auto b = import_readings(grids_of(table_text(rows, shuffled)), {});
  RC_ASSERT(a && b);
  RC_ASSERT(static_cast<int>(a->readings.rows.size()) == count);
  RC_ASSERT(texts_of(a->readings) == texts_of(b->readings));
  RC_ASSERT(a->unread.empty() && b->unread.empty());
}

}  // namespace
}  // namespace strandbook
