#include "domain/handover/preflight.hpp"

#include <gtest/gtest.h>

namespace strandbook {
namespace {

const RuleRef demanded{"owner's terms", "", "7", Standing::own, ""};
constexpr std::int64_t day_s = 86400;
// 2026-11-20 was a Friday: 20777 days after 1970-01-01.
constexpr std::int64_t friday_s = 20777 * day_s + 9 * 3600;

/// One strand, both directions, each read once with a meter on a Friday.
struct Ground {
  std::string name = "Hall";
  Assessment all;
  std::vector<Finding> findings;
  std::size_t unread = 0;
  OwnerProfile profile;
  PackRecord pack;
  DecisionRule decision;

  Ground() {
    ScheduledStrand strand;
    strand.link = "L1";
    strand.strand = "1";
    all.schedule = {strand};
    all.readings.files = {{"day.csv", ""}};
    for (const Direction direction : {Direction::a_to_b, Direction::b_to_a}) {
      Reading reading;
      reading.link = "L1";
      reading.strand = "1";
      reading.meter = "M7";
      reading.wavelength = {1310};
      reading.direction = direction;
      reading.has_time = true;
      reading.time = {friday_s, true, true, true};
      JudgedTest test;
      test.reading = static_cast<std::uint32_t>(all.readings.rows.size());
      test.wavelength = {1310};
      test.direction = direction;
      test.outcome = Outcome::pass;
      test.has_loss = true;
      all.readings.rows.push_back(reading);
      all.tests.push_back(test);
    }
  }
  void want(RecordField field) { profile.records.push_back({field, demanded}); }
  std::vector<PreflightItem> items() const {
    return preflight({name, all, findings, unread}, decision, &profile, pack);
  }
  /// The items of this kind.
  std::vector<PreflightItem> of_kind(std::string_view kind) const {
    std::vector<PreflightItem> found;
    for (PreflightItem& item : items())
      if (item.kind == kind) found.push_back(std::move(item));
    return found;
  }
};

TEST(Preflight, HasNothingAgainstAJobThatHolds) {
  EXPECT_TRUE(Ground().items().empty());
  EXPECT_TRUE(may_leave(Ground().items()));
}

TEST(Preflight, NamesStrandsOfEachOutcomeTheOwnerDoesNotTake) {
  Ground ground;
  ground.all.tests[1].outcome = Outcome::fail;
  ground.all.tests[0].outcome = Outcome::conditional_pass;
  EXPECT_EQ(ground.of_kind("outcome").size(), 1U);
  EXPECT_EQ(ground.of_kind("outcome")[0].strands, std::vector<std::uint32_t>{0});
  ground.decision.conditional_pass = Acceptance::refused;
  EXPECT_EQ(ground.of_kind("outcome").size(), 2U);
  EXPECT_FALSE(may_leave(ground.items()));
}

TEST(Preflight, AnEmptyPlanIsNotReady) {
  Ground ground;
  ground.all.tests.clear();
  EXPECT_FALSE(may_leave(ground.items()));
}

TEST(Preflight, RowsAndReadingsLeftOverStandInTheWay) {
  Ground ground;
  ground.unread = 3;
  ground.all.unmatched.push_back({0, "strand is not in the schedule", "", ""});
  EXPECT_EQ(ground.of_kind("rows").size() + ground.of_kind("readings").size(), 2U);
  EXPECT_FALSE(may_leave(ground.items()));
  // Without a profile too.
  EXPECT_FALSE(may_leave(preflight({ground.name, ground.all, {}, 3}, {}, nullptr, {})));
}

TEST(Preflight, AFindingIsOpenUntilAPersonAnswersIt) {
  Ground ground;
  Finding finding;
  finding.id = "F1";
  finding.weight = Weight::stop;
  finding.tests = {0, 1};
  ground.findings = {finding};
  ASSERT_EQ(ground.of_kind("finding").size(), 1U);
  EXPECT_EQ(ground.of_kind("finding")[0].strands, std::vector<std::uint32_t>{0});
  ground.pack.acknowledged = {"F1"};
  EXPECT_TRUE(ground.of_kind("finding").empty());
}

struct FieldCase {
  RecordField field;
  void (*record)(Ground&);
};

class PreflightField : public testing::TestWithParam<FieldCase> {};

TEST_P(PreflightField, IsMissingUntilItIsRecorded) {
  Ground ground;
  ground.want(GetParam().field);
  ASSERT_EQ(ground.of_kind("record").size(), 1U);
  EXPECT_EQ(ground.of_kind("record")[0].objection, Objection::missing);
  EXPECT_NE(ground.of_kind("record")[0].demand.find("owner's terms"), std::string::npos);
  GetParam().record(ground);
  EXPECT_TRUE(ground.of_kind("record").empty());
}

INSTANTIATE_TEST_SUITE_P(
    Fields, PreflightField,
    testing::Values(
        FieldCase{RecordField::cable_id, [](Ground& at) { at.all.schedule[0].cable = "C1"; }},
        FieldCase{RecordField::both_ends,
                  [](Ground& at) {
                    at.all.schedule[0].end_a = "R1";
                    at.all.schedule[0].end_b = "R2";
                  }},
        FieldCase{RecordField::fibre_type, [](Ground& at) { at.all.schedule[0].fibre = FibreCategory::os2; }},
        FieldCase{RecordField::designed_length, [](Ground& at) { at.all.schedule[0].length = Metres{90}; }},
        FieldCase{RecordField::splices, [](Ground& at) { at.all.schedule[0].splices = 0; }},
        FieldCase{RecordField::measured_length,
                  [](Ground& at) {
                    for (Reading& row : at.all.readings.rows) row.length_m = 91;
                  }},
        FieldCase{RecordField::crew_names,
                  [](Ground& at) {
                    for (Reading& row : at.all.readings.rows) row.operator_name = "K.";
                  }},
        FieldCase{RecordField::received_power,
                  [](Ground& at) {
                    for (Reading& row : at.all.readings.rows) row.kind = ReadingKind::power;
                  }},
        FieldCase{RecordField::calibration_date,
                  [](Ground& at) {
                    at.all.records.calibrations.push_back({"m7", "", "", {}, {}, {}});
                  }},
        FieldCase{RecordField::polarity,
                  [](Ground& at) {
                    at.all.continuity.strands = {{Continuity::straight, 0, 0}};
                  }},
        FieldCase{RecordField::closure_shut,
                  [](Ground& at) { at.pack.statements[RecordField::closure_shut] = "all"; }},
        FieldCase{RecordField::temperature,
                  [](Ground& at) { at.pack.statements[RecordField::temperature] = "18 °C"; }},
        FieldCase{RecordField::reference_value, [](Ground& at) {
                    at.all.references.push_back({});
                    for (JudgedTest& test : at.all.tests) test.reference = 0;
                  }}));

TEST(Preflight, TheMeanNeedsBothDirections) {
  Ground ground;
  ground.want(RecordField::mean_loss);
  EXPECT_TRUE(ground.of_kind("record").empty());
  ground.all.tests[1].has_loss = false;
  EXPECT_EQ(ground.of_kind("record").size(), 1U);
}

TEST(Preflight, WhatEveryPackHoldsIsNeverMissing) {
  Ground ground;
  for (const RecordField field : {RecordField::loss, RecordField::margin, RecordField::uncertainty,
                                  RecordField::outcome, RecordField::project, RecordField::date_time})
    ground.want(field);
  EXPECT_TRUE(ground.items().empty());
}

TEST(Preflight, ACalibrationTooOldOnTheDayIsRefused) {
  Ground ground;
  ground.profile.calibration_months_most = {12, demanded};
  EXPECT_EQ(ground.of_kind("calibration").size(), 1U);  // no certificate at all
  Calibration row{"M7", "", "", day_of({friday_s, true, true, true}, -200), {friday_s + 900 * day_s}, {}};
  ground.all.records.calibrations = {row};
  EXPECT_TRUE(ground.of_kind("calibration").empty());
  ground.all.records.calibrations[0].from = day_of({friday_s, true, true, true}, -400);
  EXPECT_EQ(ground.of_kind("calibration").size(), 1U);
  EXPECT_EQ(ground.of_kind("calibration")[0].objection, Objection::refused);
}

TEST(Preflight, AnotherReferenceMethodIsRefused) {
  Ground ground;
  ground.profile.reference_method = {ReferenceMethod::one_cord, demanded};
  ground.all.schedule[0].method = ReferenceMethod::two_cord;
  EXPECT_EQ(ground.of_kind("method").size(), 1U);
  ground.all.schedule[0].method = ReferenceMethod::one_cord;
  EXPECT_TRUE(ground.of_kind("method").empty());
}

TEST(Preflight, ARepeatNeedsANoteWhereTheOwnerSaysSo) {
  Ground ground;
  ground.all.tests[0].other_readings = 1;
  EXPECT_TRUE(ground.items().empty());
  ground.profile.retest = {{RetestRule::action_before_repeat, demanded}};
  EXPECT_EQ(ground.of_kind("retest").size(), 1U);
  ground.pack.acted_on = {0};
  EXPECT_TRUE(ground.of_kind("retest").empty());
}

TEST(Preflight, FormsAreInThePackEnclosedOrMissing) {
  Ground ground;
  ground.profile.handover = {{HandoverForm::spreadsheet, 1, demanded}, {HandoverForm::pdf_list, 1, demanded}};
  EXPECT_TRUE(ground.items().empty());
  ground.profile.handover = {{HandoverForm::calibration_certificate, 1, demanded}};
  ASSERT_EQ(ground.of_kind("form").size(), 1U);
  EXPECT_EQ(ground.of_kind("form")[0].about, "calibration certificate");
  ground.pack.documents = {HandoverForm::calibration_certificate};
  EXPECT_TRUE(ground.items().empty());
  ground.profile.handover = {{HandoverForm::paper, 5, demanded}};
  EXPECT_EQ(ground.of_kind("form")[0].objection, Objection::by_hand);
}

TEST(Preflight, TracesBringTheirFilesAndTheirSettings) {
  Ground ground;
  ground.profile.handover = {{HandoverForm::trace_files, 1, demanded}};
  ground.want(RecordField::trace_pulse);
  ground.want(RecordField::trace_averages);
  EXPECT_EQ(ground.items().size(), 3U);
  HeldTrace trace;
  trace.pulse_ns = 30;
  ground.all.traces.push_back(trace);
  ASSERT_EQ(ground.items().size(), 1U);  // it says nothing of its averages
  EXPECT_EQ(ground.items()[0].about, "trace averages");
  ground.all.traces[0].averages = 16384;
  EXPECT_TRUE(ground.items().empty());
}

TEST(Preflight, TypedReadingsHaveNoOriginalRecord) {
  Ground ground;
  ground.profile.handover = {{HandoverForm::original_records, 1, demanded}};
  EXPECT_TRUE(ground.items().empty());
  ground.pack.typed_strands = {0};
  EXPECT_EQ(ground.of_kind("form").size(), 1U);
  ground.pack.documents = {HandoverForm::signed_sheet};
  EXPECT_TRUE(ground.of_kind("form").empty());
}

// SOURCE: published terms of this kind: results within two working days. By the calendar of November 2026 two
// working days after Friday the 20th is Tuesday the 24th; two calendar days after it Sunday the 22nd.
TEST(Preflight, WorkingDaysLeaveOutTheWeekend) {
  Ground ground;
  ground.profile.results_within = DayLimit{2, DayCount::working, demanded};
  EXPECT_NE(ground.of_kind("deadline")[0].what.find("2026-11-24"), std::string::npos);
  ground.pack.today = Instant{friday_s + 4 * day_s, true, true, true};
  EXPECT_EQ(ground.of_kind("deadline")[0].objection, Objection::by_hand);
  ground.pack.today = Instant{friday_s + 5 * day_s, true, true, true};
  EXPECT_EQ(ground.of_kind("deadline")[0].objection, Objection::refused);
  ground.profile.results_within = DayLimit{2, DayCount::calendar, demanded};
  EXPECT_NE(ground.of_kind("deadline")[0].what.find("2026-11-22"), std::string::npos);
}

TEST(Preflight, WhatRefusesStandsFirstAndWhatAPersonSeesToLast) {
  Ground ground;
  ground.profile.in_words = {{"Fusion splices only.", demanded}};
  ground.want(RecordField::temperature);
  ground.all.tests[0].outcome = Outcome::fail;
  const auto items = ground.items();
  ASSERT_EQ(items.size(), 3U);
  EXPECT_EQ(items[0].objection, Objection::refused);
  EXPECT_EQ(items[1].objection, Objection::missing);
  EXPECT_EQ(items[2].objection, Objection::by_hand);
}

}  // namespace
}  // namespace strandbook
