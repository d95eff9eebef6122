#include "edge/exchange/sampling_file.hpp"

#include <gtest/gtest.h>

#include <array>
#include <string>

namespace strandbook {
namespace {

SamplingScheme shipped_scheme() {
  const auto scheme =
      read_sampling_scheme(std::string(STRANDBOOK_ROOT) + "/rules/mil-std-105e/sampling-plans.json");
  EXPECT_TRUE(scheme) << (scheme ? "" : describe(scheme.problem()));
  return *scheme;
}

// SOURCE: MIL-STD-105E, Table I (code letters), as the tables of a public R package have it; its sizes.
TEST(SamplingFile, CodeLettersByLot) {
  const SamplingScheme scheme = shipped_scheme();
  const std::string two = "ABCDEFGHJKLMNPQ";
  const std::string one = "AABCCDEFGHJKLMN";
  const std::string three = "BCDEFGHJKLMNPQR";
  ASSERT_EQ(scheme.lots.size(), two.size());
  for (std::size_t i = 0; i < two.size(); ++i) {
    EXPECT_EQ(scheme.lots[i].letters[1], std::string(1, two[i])) << scheme.lots[i].lot_most;
    EXPECT_EQ(scheme.lots[i].letters[2], std::string(1, three[i])) << scheme.lots[i].lot_most;
    EXPECT_EQ(scheme.lots[i].letters[0], std::string(1, one[i])) << scheme.lots[i].lot_most;
  }
  EXPECT_EQ(scheme.sizes, (std::vector<std::uint32_t>{2, 3, 5, 8, 13, 20, 32, 50, 80, 125, 200, 315, 500, 800,
                                                      1250, 2000}));
}

struct PlanRow {
  std::uint32_t lot;
  double aql;
  InspectionSeverity severity;
  SamplingPlan plan;
};

// SOURCE: MIL-STD-105E, Tables II-A and II-B, as the tables of a public R package have them (arrows
// resolved).
TEST(SamplingFile, PlansOfTheTables) {
  using enum InspectionSeverity;
  const std::array rows = {PlanRow{5000, 1.5, normal, {200, 7}}, PlanRow{5000, 1.5, tightened, {200, 5}},
                           PlanRow{80, 1.0, normal, {13, 0}},    PlanRow{400, 1.0, normal, {50, 1}},
                           PlanRow{1000, 1.0, normal, {80, 2}},  PlanRow{3000, 1.0, normal, {125, 3}},
                           PlanRow{5000, 1.0, normal, {200, 5}}, PlanRow{20000, 1.0, normal, {315, 7}},
                           PlanRow{80, .65, normal, {20, 0}},    PlanRow{140, .65, normal, {20, 0}},
                           PlanRow{1000, .65, normal, {80, 1}},  PlanRow{3000, .65, normal, {125, 2}},
                           PlanRow{5000, .65, normal, {200, 3}}, PlanRow{20000, .65, normal, {315, 5}},
                           PlanRow{20, 4.0, normal, {3, 0}},     PlanRow{40, 4.0, normal, {13, 1}},
                           PlanRow{80, 4.0, normal, {13, 1}},    PlanRow{140, 4.0, normal, {20, 2}},
                           PlanRow{200, 4.0, normal, {32, 3}},   PlanRow{400, 4.0, normal, {50, 5}},
                           PlanRow{1000, 4.0, normal, {80, 7}}};
  const SamplingScheme scheme = shipped_scheme();
  for (const PlanRow& row : rows) {
    const auto plan = plan_from(scheme, {row.lot, InspectionLevel::two, row.severity, row.aql});
    ASSERT_TRUE(plan) << row.lot << " " << row.aql;
    EXPECT_EQ(plan->plan.size, row.plan.size) << row.lot << " " << row.aql;
    EXPECT_EQ(plan->plan.accept, row.plan.accept) << row.lot << " " << row.aql;
  }
}

TEST(SamplingFile, WhatTheTableDoesNotHave) {
  const SamplingScheme scheme = shipped_scheme();
  EXPECT_FALSE(plan_from(scheme, {1000, InspectionLevel::two, InspectionSeverity::normal, 3.3}));
  EXPECT_FALSE(plan_from(scheme, {1, InspectionLevel::two, InspectionSeverity::normal, 1.0}));
}

TEST(SamplingFile, WrongTablesAreRefusedInPlace) {
  const std::string head =
      R"({"title": "t", "document": "d", "edition": "", "letters": ["A", "B"],
 "sizes": {"value": [2, 3], "unit": "1", "clause": "", "standing": "from memory"},
 "lots_source": {"clause": "", "standing": "from memory"},
 "lots": [{"most": 8, "I": "A", "II": "A", "III": "B"}],
 "plans": [)";
  const auto short_column = read_sampling_scheme_text(
      head + R"({"aql": 1, "severity": "normal", "cells": ["0"], "clause": "", "standing": "from memory"}]})",
      "x");
  ASSERT_FALSE(short_column);
  EXPECT_EQ(short_column.problem().found, "1 cells");
  EXPECT_EQ(short_column.problem().at.row, 5u);
  const auto bad_cell = read_sampling_scheme_text(
      head +
          R"({"aql": 1, "severity": "normal", "cells": ["0", "?"], "clause": "", "standing": "from memory"}]})",
      "x");
  ASSERT_FALSE(bad_cell);
  EXPECT_EQ(bad_cell.problem().found, "\"?\"");
}

}  // namespace
}  // namespace strandbook
