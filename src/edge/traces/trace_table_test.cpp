#include "edge/traces/trace_table.hpp"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include "edge/traces/record_traces.hpp"
#include "edge/traces/sample_record_for_tests.hpp"

namespace strandbook {
namespace {

const std::string header =
    "# otdr-table 1\n# wavelength_nm=1310 pulse_ns=30 group_index=1.468 backscatter_1ns_db=-79.8\n"
    "# level=oneway_db sign=up direction=A-B fibre=R1-P03-F07 cable=NK 07\n# launch_m=150.2 tail_m=148.9\n"
    "# taken=2025-03-04T10:22:31+01:00\n";

std::string rows(const char* form, double slope = -0.001) {
  std::string text;
  for (int i = 0; i < 40; ++i) text += fmt::format(fmt::runtime(form), i * 0.5, -1 + slope * i);
  return text;
}

std::string said(const Result<Trace>& trace) { return trace ? "read" : describe(trace.problem()); }

TEST(TraceTable, SettingsAndSamples) {
  const auto trace = read_trace_table(header + "distance_m,level_db\n" + rows("{:.3f},{:.4f}\r\n"), "t.csv");
  ASSERT_TRUE(trace) << said(trace);
  EXPECT_EQ(trace->identity.fibre, "R1-P03-F07");
  EXPECT_EQ(trace->identity.cable, "NK 07");
  EXPECT_EQ(trace->identity.direction, Direction::a_to_b);
  EXPECT_EQ(trace->settings.receive->value, 148.9);
  EXPECT_EQ(iso_text(*trace->identity.taken), "2025-03-04T09:22:31Z");
  EXPECT_EQ(trace->level_db.size(), 40u);
  EXPECT_EQ(trace->step.value, 0.5);
}

TEST(TraceTable, SemicolonsMeanDecimalCommas) {
  std::string text = rows("{:.1f};{:.3f}\n");
  std::replace(text.begin(), text.end(), '.', ',');
  const auto trace = read_trace_table("\xEF\xBB\xBF" + header + "distance_m;level_db\n" + text, "t.csv");
  ASSERT_TRUE(trace) << said(trace);
  EXPECT_NEAR(trace->level_db[39], -1.039, 1e-9);
}

TEST(TraceTable, TwoWayDownwardAndLinearLevelsMeanTheSame) {
  const auto with = [](const std::string& level, const std::string& sign, double factor) {
    std::string head = header;
    head.replace(head.find("oneway_db"), 9, level);
    head.replace(head.find("sign=up"), 7, "sign=" + sign);
    std::string text = head + "distance_m,level_db\n";
    for (int i = 0; i < 40; ++i) {
      const double oneway = -1 - 0.001 * i;
      text += fmt::format("{},{}\n", i * 0.5, level == "linear" ? std::pow(10, oneway / 5) : factor * oneway);
    }
    return read_trace_table(text, "t.csv");
  };
  for (const auto& trace : {with("oneway_db", "up", 1), with("twoway_db", "up", 2),
                            with("oneway_db", "down", -1), with("linear", "up", 0)}) {
    ASSERT_TRUE(trace) << said(trace);
    EXPECT_NEAR(trace->level_db[20], -1.02, 1e-9);
  }
}

TEST(TraceTable, WhatIsWrongIsToldWithItsRow) {
  const std::string table = "distance_m,level_db\n" + rows("{:.3f},{:.4f}\n");
  const auto without = [&](const std::string& words) {
    std::string head = header;
    head.erase(head.find(words), words.size());
    return said(read_trace_table(head + table, "t.csv"));
  };
  EXPECT_NE(without("pulse_ns=30").find("no pulse_ns"), std::string::npos);
  EXPECT_NE(without("group_index=1.468").find("no group_index"), std::string::npos);
  EXPECT_NE(without("level=oneway_db").find("twoway_db or linear"), std::string::npos);
  EXPECT_NE(without("sign=up").find("sign=up"), std::string::npos);
  const auto bad = read_trace_table(header + table + "25.0,x\n", "t.csv");
  ASSERT_FALSE(bad);
  EXPECT_EQ(bad.problem().at.row, 47u);
  const auto falling = read_trace_table(header + table + "3.0,-1\n", "t.csv");
  ASSERT_FALSE(falling);
  EXPECT_NE(said(falling).find("distances that rise"), std::string::npos);
  EXPECT_FALSE(read_trace_table(header + "distance_m,level_db\n0,1\n", "t.csv"));
}

TEST(TraceTable, WhatIsWrittenComesBack) {
  Trace trace = traces_of(test::sample_record()).at(0);
  trace.identity.direction = Direction::b_to_a;
  const auto again = read_trace_table(write_trace_table(trace), "t.csv");
  ASSERT_TRUE(again) << said(again);
  EXPECT_EQ(again->identity.to, "Hall B");
  EXPECT_EQ(again->identity.direction, Direction::b_to_a);
  EXPECT_EQ(again->identity.taken->seconds, trace.identity.taken->seconds);
  ASSERT_EQ(again->level_db.size(), trace.level_db.size());
  for (std::size_t i = 0; i < trace.level_db.size(); ++i)
    EXPECT_NEAR(again->level_db[i], trace.level_db[i], 6e-4);
  EXPECT_NEAR(again->step.value, trace.step.value, 1e-6);
}

TEST(TraceTable, UnevenDistancesAreBroughtToEvenSteps) {
  std::string text = header + "distance_m,level_db\n";
  for (int i = 0; i < 40; ++i)
    text += fmt::format("{},{}\n", i * 0.5 + (i % 7 == 3 ? 0.4 : 0), -1 - 0.001 * i);
  EXPECT_TRUE(read_trace_table(text, "t.csv"));
}

}  // namespace
}  // namespace strandbook
