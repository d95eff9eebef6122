#include "domain/diagnosis/find.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "domain/diagnosis/diagnosis_test_ground.hpp"

namespace strandbook {
namespace {

/// Tests with the given losses, one typed loss each, all from one file.
Assessment typed_losses(const std::vector<double>& losses) {
  Assessment all;
  all.readings.files = {{"day.csv", ""}};
  for (const double loss : losses) {
    Reading reading;
    reading.value = loss;
    all.readings.rows.push_back(reading);
    ScheduledStrand strand;
    strand.strand = std::to_string(all.schedule.size() + 1);
    all.schedule.push_back(strand);
    JudgedTest test;
    test.strand = static_cast<std::uint32_t>(all.schedule.size() - 1);
    test.reading = static_cast<std::uint32_t>(all.readings.rows.size() - 1);
    test.loss = {loss};
    test.has_loss = true;
    test.reason = loss < -0.05 ? Reason::impossible_value : Reason::none;
    test.outcome = loss < -0.05 ? Outcome::invalid : Outcome::pass;
    all.tests.push_back(test);
    all.strand_of.push_back(test.strand);
  }
  return all;
}

std::vector<std::string> kinds(const std::vector<Finding>& findings) {
  std::vector<std::string> list;
  for (const Finding& finding : findings) list.push_back(finding.kind);
  return list;
}

std::vector<Finding> found_in(const Assessment& all) {
  return find_causes(all, finding_settings_for_tests());
}

TEST(Findings, AWholeFileOfNegativeLossesIsAWayOfWritingToBeConfirmed) {
  const auto findings = found_in(typed_losses({-0.42, -0.55, -0.47, -0.51}));
  ASSERT_EQ(kinds(findings), std::vector<std::string>{"loss-sign"});
  EXPECT_EQ(findings[0].tests.size(), 4u);
}

TEST(Findings, OneNegativeLossAmongOthersIsAGain) {
  const auto findings = found_in(typed_losses({0.42, -0.55, 0.47, 0.51}));
  ASSERT_EQ(kinds(findings), std::vector<std::string>{"gain"});
  EXPECT_EQ(findings[0].tests, std::vector<std::uint32_t>{1});
}

TEST(Findings, LossesNearMinusTwentyAreLevels) {
  EXPECT_EQ(kinds(found_in(typed_losses({-20.4, -21.1, -20.7}))), std::vector<std::string>{"level-for-loss"});
  EXPECT_EQ(kinds(found_in(typed_losses({0.4, -21.1, 0.7, 0.5}))),
            std::vector<std::string>{"level-for-loss"});
}

TEST(Findings, NothingWrongNothingFound) { EXPECT_TRUE(found_in(typed_losses({0.4, 0.5})).empty()); }

TEST(Findings, AnEmptyJobHasNone) { EXPECT_TRUE(found_in({}).empty()); }

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
  const auto findings = found_in(all);
  ASSERT_EQ(kinds(findings), std::vector<std::string>{"reference-drift"});
  const auto& evidence = findings[0].evidence;
  EXPECT_NEAR(std::get<double>(evidence[2].second), 1.08, 1e-9);
  EXPECT_NEAR(std::get<double>(evidence[3].second), 1.68, 1e-9);
}

TEST(Findings, WhatStopsTheWorkComesBeforeWhatIsOnlyNoted) {
  Assessment all = typed_losses({0.4, -0.6, 0.5});
  for (JudgedTest& test : all.tests) test.other_readings = 1;
  const auto findings = found_in(all);
  EXPECT_EQ(kinds(findings), (std::vector<std::string>{"gain", "repeated-readings"}));
  EXPECT_EQ(findings[0].id, "F1");
}

class FindingsOfALink : public testing::Test {
 protected:
  template <class Loss>
  std::vector<Finding> found(const TypedLink& link, Loss loss) {
    all_ = std::move(*judge(typed_job(link, loss), rulebook_, judge_settings_for_findings(rulebook_)));
    return found_in(all_);
  }
  Rulebook rulebook_{diagnosis_rule()};
  Assessment all_;
};

double usual(std::size_t strand, std::size_t column) {
  return (column < 2 ? 0.34 : 0.20) + 0.3 + steady_noise(strand) + 0.3 * steady_noise(strand * 5 + column);
}

TEST_F(FindingsOfALink, NothingWrong) { EXPECT_TRUE(found({}, usual).empty()); }

TEST_F(FindingsOfALink, ABendRaisesTheLongerWavelength) {
  const auto findings = found({}, [](std::size_t strand, std::size_t column) {
    return usual(strand, column) + (strand == 6 && column >= 2 ? 0.8 : 0);
  });
  ASSERT_EQ(kinds(findings), std::vector<std::string>{"bend"});
  EXPECT_EQ(all_.tests[findings[0].tests.front()].strand, 6u);
  EXPECT_LE(*findings[0].chance, 0.001);
  ASSERT_EQ(findings[0].steps.size(), 1u);
  ASSERT_TRUE(findings[0].picture);
  EXPECT_EQ(findings[0].picture->points.size(), 12u);
}

TEST_F(FindingsOfALink, ADirtyConnectionRaisesBoth) {
  const auto findings = found({FibreCategory::os2, 1000, 24}, [](std::size_t strand, std::size_t column) {
    return usual(strand, column) + (strand == 6 ? 1.6 : 0);
  });
  ASSERT_FALSE(findings.empty());
  EXPECT_EQ(findings[0].kind, "strand-unlike");
}

TEST_F(FindingsOfALink, ExchangedColumns) {
  const TypedLink link{FibreCategory::om3, 300, 12, {850, 1300}};
  const auto loss = [](std::size_t strand, std::size_t column) {
    return (column < 2 ? 0.21 : 0.78) + 0.3 + steady_noise(strand);
  };
  const auto findings = found(link, loss);
  ASSERT_EQ(kinds(findings), std::vector<std::string>{"wavelengths-exchanged"});
  EXPECT_EQ(findings[0].weight, Weight::stop);
  EXPECT_EQ(findings[0].tests.size(), 24u);
}

TEST_F(FindingsOfALink, CrossedStrandsAndMixedCores) {
  const TypedLink link{FibreCategory::os2, 1000, 12, {1310}, true};
  auto findings = found(link, [](std::size_t strand, std::size_t column) {
    const bool raised = (strand == 3 && column == 0) || (strand == 4 && column == 1);
    return 0.7 + steady_noise(strand * 2 + column) + (raised ? 0.5 : 0);
  });
  ASSERT_FALSE(findings.empty());
  EXPECT_EQ(findings[0].kind, "crossed");
  findings = found(link, [](std::size_t strand, std::size_t column) {
    return 0.7 + steady_noise(strand * 2 + column) + (column == 0 ? 0.6 : 0);
  });
  ASSERT_FALSE(findings.empty());
  EXPECT_EQ(findings[0].kind, "direction-differs");
}

TEST_F(FindingsOfALink, AStuckMeter) {
  const auto findings = found({FibreCategory::os2, 1000, 24}, [](std::size_t strand, std::size_t column) {
    return column < 2 && strand < 12 ? 0.66 : usual(strand, column);
  });
  const auto list = kinds(findings);
  EXPECT_NE(std::find(list.begin(), list.end(), "readings-alike"), list.end());
}

TEST_F(FindingsOfALink, LessThanTheFibreAlone) {
  const auto findings = found({FibreCategory::os2, 8000, 6, {1310}},
                              [](std::size_t strand, std::size_t) { return 0.9 + steady_noise(strand); });
  ASSERT_FALSE(findings.empty());
  EXPECT_EQ(findings[0].kind, "below-fibre");
}

TEST_F(FindingsOfALink, AWholeLinkBeyondItsLimitByLessThanOnePart) {
  // Limit 0.4 + 2 · 0.5 = 1.40 dB.
  const auto findings = found({FibreCategory::os2, 1000, 12, {1310}},
                              [](std::size_t strand, std::size_t) { return 1.55 + steady_noise(strand); });
  ASSERT_FALSE(findings.empty());
  EXPECT_EQ(findings[0].kind, "limit-count");
}

}  // namespace
}  // namespace strandbook
