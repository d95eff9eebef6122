#include "domain/readings/reference_finder.hpp"

#include <gtest/gtest.h>

#include "domain/readings/hour_for_tests.hpp"

namespace strandbook {
namespace {

constexpr ReferencePractice practice{{0.10}, 24 * hour};

Reference reference(double nm, double dbm, std::int64_t at) {
  Reference row;
  row.wavelength = {nm};
  row.power = {dbm};
  row.time = Instant{at, true, true, false};
  return row;
}

Reading reading(double nm, double dbm, std::int64_t at) {
  Reading row;
  row.kind = ReadingKind::power;
  row.wavelength = {nm};
  row.value = dbm;
  row.time = Instant{at, true, true, false};
  row.has_time = true;
  return row;
}

TEST(ReferenceFinder, TheLatestBeforeTheReadingCounts) {
  const std::vector<Reference> references{reference(1310, -8.0, 9 * hour), reference(1310, -8.2, 13 * hour),
                                          reference(1550, -8.4, 8 * hour)};
  const ReferenceFinder finder(references, practice);
  EXPECT_EQ(finder.find(reading(1310, -9, 10 * hour)).reference, 0u);
  EXPECT_EQ(finder.find(reading(1310, -9, 13 * hour)).reference, 1u);
  EXPECT_EQ(finder.find(reading(1550, -9, 13 * hour)).reference, 2u);
  EXPECT_EQ(finder.find(reading(1310, -9, 8 * hour)).fault, ReferenceFault::after_reading);
  EXPECT_EQ(finder.find(reading(1625, -9, 13 * hour)).fault, ReferenceFault::missing);
  EXPECT_EQ(finder.find(reading(1310, -9, 13 * hour + 25 * hour)).fault, ReferenceFault::expired);
}

TEST(ReferenceFinder, AReadingWithoutATimeNeedsASingleCandidate) {
  std::vector<Reference> references{reference(850, -20, 8 * hour)};
  Reading untimed = reading(850, -21, 0);
  untimed.has_time = false;
  EXPECT_EQ(ReferenceFinder(references, practice).find(untimed).reference, 0u);
  references.push_back(reference(850, -20.1, 9 * hour));
  references[0].id = "R1";
  references[1].id = "R2";
  EXPECT_EQ(ReferenceFinder(references, practice).find(untimed).fault, ReferenceFault::ambiguous);
  untimed.reference = "R2";
  EXPECT_EQ(ReferenceFinder(references, practice).find(untimed).reference, 1u);
  untimed.reference = "R3";
  EXPECT_EQ(ReferenceFinder(references, practice).find(untimed).fault, ReferenceFault::missing);
}

TEST(ReferenceFinder, AReadingWithOnlyADateIsAfterThatDaysReference) {
  const std::vector<Reference> references{reference(850, -20, 8 * hour)};
  Reading dated = reading(850, -21, 0);
  dated.time.timed = false;
  EXPECT_EQ(ReferenceFinder(references, practice).find(dated).fault, ReferenceFault::none);
}

// common practice: a level may be subtracted only from one read with the same wavelength key.
TEST(ReferenceFinder, MeterSettingMustBeTheSame) {
  std::vector<Reference> references{reference(1310, -8.02, 8 * hour), reference(1550, -8.95, 8 * hour)};
  references[0].meter_setting = Nanometres{1310};
  references[1].meter_setting = Nanometres{1310};
  Reading at_1550 = reading(1550, -9.7, 9 * hour);
  at_1550.meter_setting = {1550};
  const ReferenceFinder finder(references, practice);
  EXPECT_EQ(finder.find(at_1550).fault, ReferenceFault::setting_differs);
  EXPECT_EQ(finder.find(reading(1310, -9.1, 9 * hour)).fault, ReferenceFault::none);
}

TEST(ReferenceFinder, OtherSourceOrCordsForbidOtherMeterOnlyWidens) {
  std::vector<Reference> references{reference(1310, -8, 8 * hour)};
  references[0].source = "S-1";
  references[0].meter = "M-1";
  Reading row = reading(1310, -9, 9 * hour);
  row.source = "S-2";
  const ReferenceFinder finder(references, practice);
  EXPECT_EQ(finder.find(row).fault, ReferenceFault::instrument_differs);
  row.source = "S-1";
  row.meter = "M-2";
  EXPECT_EQ(finder.find(row).fault, ReferenceFault::none);
  EXPECT_TRUE(finder.find(row).meter_differs);
}

TEST(ReferenceFinder, AClosingCheckThatMovedVoidsTheSession) {
  std::vector<Reference> references{reference(850, -20.10, 8 * hour), reference(850, -20.44, 12 * hour),
                                    reference(850, -20.12, 13 * hour), reference(850, -20.15, 17 * hour)};
  references[1].kind = references[3].kind = ReferenceKind::closing_check;
  const ReferenceFinder finder(references, practice);
  const ReferenceMatch morning = finder.find(reading(850, -21.5, 9 * hour));
  EXPECT_EQ(morning.fault, ReferenceFault::drifted);
  EXPECT_NEAR(morning.change->value, -0.34, 1e-9);
  const ReferenceMatch afternoon = finder.find(reading(850, -21.5, 14 * hour));
  EXPECT_EQ(afternoon.fault, ReferenceFault::none);
  EXPECT_NEAR(afternoon.change->value, -0.03, 1e-9);
}

TEST(ReferenceFinder, AChangeOfExactlyTheAllowedIsAllowed) {
  std::vector<Reference> references{reference(850, -20.10, 8 * hour), reference(850, -20.20, 12 * hour)};
  references[1].kind = ReferenceKind::closing_check;
  EXPECT_EQ(ReferenceFinder(references, practice).find(reading(850, -21, 9 * hour)).fault,
            ReferenceFault::none);
}

}  // namespace
}  // namespace strandbook
