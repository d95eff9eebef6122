#include "domain/diagnosis/find.hpp"

#include <gtest/gtest.h>

#include <algorithm>

namespace strandbook {
namespace {

constexpr ReferencePractice practice{{0.10}, {}};

/// Tests with the given losses, one typed loss each, all from one file.
Assessment typed_losses(const std::vector<double>& losses) {
  Assessment all;
  all.readings.files = {{"day.csv", ""}};
  for (const double loss : losses) {
    Reading reading;
    reading.value = loss;
    all.readings.rows.push_back(reading);
    JudgedTest test;
    test.reading = static_cast<std::uint32_t>(all.readings.rows.size() - 1);
    test.loss = {loss};
    test.has_loss = true;
    test.reason = loss < -0.05 ? Reason::impossible_value : Reason::none;
    test.outcome = loss < -0.05 ? Outcome::invalid : Outcome::pass;
    all.tests.push_back(test);
  }
  return all;
}

std::vector<std::string> kinds(const std::vector<Finding>& findings) {
  std::vector<std::string> list;
  for (const Finding& finding : findings) list.push_back(finding.kind);
  return list;
}

TEST(Findings, AWholeFileOfNegativeLossesIsAWayOfWritingToBeConfirmed) {
  const auto findings = find_causes(typed_losses({-0.42, -0.55, -0.47, -0.51}), practice);
  ASSERT_EQ(kinds(findings), std::vector<std::string>{"loss-sign"});
  EXPECT_EQ(findings[0].tests.size(), 4u);
}

TEST(Findings, OneNegativeLossAmongOthersIsAGain) {
  const auto findings = find_causes(typed_losses({0.42, -0.55, 0.47, 0.51}), practice);
  ASSERT_EQ(kinds(findings), std::vector<std::string>{"gain"});
  EXPECT_EQ(findings[0].tests, std::vector<std::uint32_t>{1});
}

TEST(Findings, NothingWrongNothingFound) {
  EXPECT_TRUE(find_causes(typed_losses({0.4, 0.5}), practice).empty());
}

TEST(Findings, DriftGivesTheIntervalOfTheTrueLoss) {
  Assessment all = typed_losses({1.42, 1.68});
  Reference opening;
  opening.wavelength = {850};
  opening.power = {-20.10};
  opening.time = Instant{8 * 3600, true, true, false};
  Reference closing = opening;
  closing.kind = ReferenceKind::closing_check;
  closing.power = {-20.44};
  closing.time->seconds = 12 * 3600;
  all.references = {opening, closing};
  for (JudgedTest& test : all.tests) {
    test.reference = 0;
    test.reason = Reason::reference_drifted;
  }
  const auto findings = find_causes(all, practice);
  ASSERT_EQ(kinds(findings), std::vector<std::string>{"reference-drift"});
  const auto& evidence = findings[0].evidence;
  EXPECT_NEAR(std::get<double>(evidence[2].second), 1.08, 1e-9);
  EXPECT_NEAR(std::get<double>(evidence[3].second), 1.68, 1e-9);
}

TEST(Findings, OrderedByTheTestsAtStake) {
  Assessment all = typed_losses({0.4, -0.6, 0.5});
  for (JudgedTest& test : all.tests) test.other_readings = 1;
  const auto findings = find_causes(all, practice);
  EXPECT_EQ(kinds(findings), (std::vector<std::string>{"repeated-readings", "gain"}));
  EXPECT_EQ(findings[0].id, "F1");
}

}  // namespace
}  // namespace strandbook
