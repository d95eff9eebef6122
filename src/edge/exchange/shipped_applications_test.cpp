// The application tables that are shipped: every row there, every number with its source, and a list of
// rows against what was printed.

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>
#include <ostream>
#include <set>

#include "edge/exchange/application_file.hpp"

namespace strandbook {
namespace {

using Standing::from_memory;
using Standing::seen_in_extract;
constexpr const char* guide = "cabling design guide with the TIA-568 application table";
constexpr const char* manual = "network-equipment manual with IEEE 802.3 Tables 38-3 to 38-5";

const ApplicationTable& shipped_applications() {
  static const ApplicationTable table = [] {
    auto read = read_applications(STRANDBOOK_ROOT "/rules/applications");
    if (read) return *read;
    ADD_FAILURE() << describe(read.problem());
    return ApplicationTable{};
  }();
  return table;
}

/// Rows of a name, a table and a fibre whose words begin as given.
std::vector<const Application*> rows_of(std::string_view name, std::string_view table,
                                        std::string_view fibre) {
  std::vector<const Application*> rows;
  for (const Application& row : shipped_applications())
    if (row.name == name && row.table == table && row.fibre.starts_with(fibre)) rows.push_back(&row);
  return rows;
}

const Application& row_of(std::string_view name, std::string_view table, std::string_view fibre) {
  const auto rows = rows_of(name, table, fibre);
  static const Application none;
  EXPECT_FALSE(rows.empty()) << name << ", " << table << ", " << fibre;
  return rows.empty() ? none : *rows.front();
}

/// Calls `visit` with every number's field and source.
void visit_sources(const Application& row, const std::function<void(std::string, const RuleRef&)>& visit) {
  const auto one = [&](std::string field, const auto& number) {
    if (number) visit(std::move(field), number->source);
  };
  const auto window = [&](const std::string& name, const PowerWindow& levels) {
    one(name + " launch_min", levels.launch_min);
    one(name + " launch_max", levels.launch_max);
    one(name + " receive_min", levels.receive_min);
    one(name + " receive_max", levels.receive_max);
    one(name + " damage", levels.damage);
  };
  one("cable_class", row.cable_class);
  one("max_length", row.max_length);
  one("max_loss", row.max_loss);
  one("min_loss", row.min_loss);
  one("connection_allocation", row.connection_allocation);
  one("additional_loss_allowed", row.additional_loss_allowed);
  one("power_budget", row.power_budget);
  one("penalties", row.penalties);
  one("channel_return_loss_min", row.channel_return_loss_min);
  one("discrete_reflectance_max", row.discrete_reflectance_max);
  one("skew_max", row.skew_max_ns);
  one("skew_variation_max", row.skew_variation_max_ns);
  window("window", row.window);
  one("upstream_max_loss", row.upstream_max_loss);
  one("upstream_power_budget", row.upstream_power_budget);
  window("upstream", row.upstream);
}

TEST(ShippedApplications, AreAllThere) {
  EXPECT_EQ(shipped_applications().size(), 189U);
  std::set<std::string> names;
  std::map<ApplicationFamily, int> families;
  for (const Application& row : shipped_applications()) {
    names.insert(row.name);
    ++families[row.family];
  }
  EXPECT_EQ(names.size(), 109U);
  EXPECT_EQ(families[ApplicationFamily::ethernet], 127);
  EXPECT_EQ(families[ApplicationFamily::fibre_channel], 29);
  EXPECT_EQ(families[ApplicationFamily::passive_optical], 25);
  EXPECT_EQ(families[ApplicationFamily::telecom], 3);
  EXPECT_EQ(families[ApplicationFamily::legacy], 5);
}

// How many numbers of each field were seen in an extract, and how many are recalled: counted once from the
// research that the tables rest on, so that none gains or loses trust unnoticed.
TEST(ShippedApplications, NoNumberGainsTrustUnnoticed) {
  std::map<std::string, std::pair<int, int>> counted;
  std::pair<int, int> all;
  for (const Application& row : shipped_applications())
    visit_sources(row, [&](const std::string& field, const RuleRef& source) {
      ASSERT_TRUE(source.standing == seen_in_extract || source.standing == from_memory)
          << row.name << ", " << field;
      ++(source.standing == seen_in_extract ? counted[field].first : counted[field].second);
      ++(source.standing == seen_in_extract ? all.first : all.second);
    });
  const std::map<std::string, std::pair<int, int>> expected = {
      {"additional_loss_allowed", {0, 5}},
      {"cable_class", {6, 5}},
      {"channel_return_loss_min", {8, 43}},
      {"connection_allocation", {15, 15}},
      {"discrete_reflectance_max", {0, 73}},
      {"max_length", {72, 117}},
      {"max_loss", {56, 111}},
      {"min_loss", {9, 21}},
      {"penalties", {8, 13}},
      {"power_budget", {14, 11}},
      {"skew_max", {5, 0}},
      {"skew_variation_max", {5, 0}},
      {"upstream launch_max", {3, 2}},
      {"upstream launch_min", {3, 2}},
      {"upstream receive_max", {0, 5}},
      {"upstream receive_min", {0, 5}},
      {"upstream_max_loss", {0, 2}},
      {"upstream_power_budget", {3, 0}},
      {"window damage", {6, 48}},
      {"window launch_max", {26, 81}},
      {"window launch_min", {31, 97}},
      {"window receive_max", {26, 104}},
      {"window receive_min", {22, 79}},
  };
  EXPECT_EQ(counted, expected);
  EXPECT_EQ(all, (std::pair{318, 839}));
}

TEST(ShippedApplications, WhatWasSeenNamesWhereAndEveryRowItsDocument) {
  for (const Application& row : shipped_applications()) {
    EXPECT_FALSE(row.source.document.empty()) << row.name;
    EXPECT_TRUE(row.max_length) << row.name;
    visit_sources(row, [&](const std::string& field, const RuleRef& source) {
      EXPECT_FALSE(source.document.empty()) << row.name << ", " << field;
      EXPECT_FALSE(source.standing == seen_in_extract && source.note.empty()) << row.name << ", " << field;
    });
  }
}

struct PrintedCase {
  const char* name;
  const char* table;
  const char* fibre;
  double metres;
  double loss;        ///< dB
  Standing standing;  ///< of both
  const char* note;   ///< of the loss limit
};

std::ostream& operator<<(std::ostream& out, const PrintedCase& row) {
  return out << row.name << ", " << row.table << ", " << row.fibre;
}

const PrintedCase printed_cases[] = {
    // SOURCE: TIA fibre consortium page, 25GBASE-SR overview: OM3 70 m 1.8 dB, OM4 100 m 1.9 dB.
    {"25GBASE-SR", "IEEE 802.3", "OM3", 70, 1.8, seen_in_extract,
     "TIA fibre consortium page, 25GBASE-SR overview"},
    {"25GBASE-SR", "IEEE 802.3", "OM4", 100, 1.9, seen_in_extract,
     "TIA fibre consortium page, 25GBASE-SR overview"},
    // SOURCE: TIA fibre consortium page, 400GBASE-SR8 overview.
    {"400GBASE-SR8", "IEEE 802.3", "OM3", 70, 1.8, seen_in_extract,
     "TIA fibre consortium page, 400GBASE-SR8 overview"},
    {"400GBASE-SR8", "IEEE 802.3", "OM4", 100, 1.9, seen_in_extract,
     "TIA fibre consortium page, 400GBASE-SR8 overview"},
    // SOURCE: TIA fibre consortium page, 400GBASE-SR4.2 overview: 70, 100 and 150 m; 1.7, 1.8 and 2.0 dB.
    {"400GBASE-SR4.2", "IEEE 802.3", "OM3", 70, 1.7, seen_in_extract,
     "TIA fibre consortium page, 400GBASE-SR4.2 overview"},
    {"400GBASE-SR4.2", "IEEE 802.3", "OM4", 100, 1.8, seen_in_extract,
     "TIA fibre consortium page, 400GBASE-SR4.2 overview"},
    {"400GBASE-SR4.2", "IEEE 802.3", "OM5", 150, 2.0, seen_in_extract,
     "TIA fibre consortium page, 400GBASE-SR4.2 overview"},
    // SOURCE: network-equipment manual with IEEE 802.3 Tables 38-3 to 38-5.
    {"1000BASE-SX", "IEEE 802.3", "OM1", 275, 2.6, seen_in_extract, manual},
    {"1000BASE-SX", "IEEE 802.3", "OM2", 550, 3.56, seen_in_extract, manual},
    // SOURCE: cabling design guide with the TIA-568 application table.
    {"1000BASE-SX", "TIA-568", "OM3", 800, 4.5, seen_in_extract, guide},
    {"1000BASE-LX", "TIA-568", "OM1", 550, 2.3, seen_in_extract, guide},
    {"1000BASE-LX", "TIA-568", "SMF", 5000, 4.5, seen_in_extract, guide},
    {"10GBASE-SR", "TIA-568", "OM1", 33, 2.4, seen_in_extract, guide},
    {"10GBASE-SR", "TIA-568", "OM2", 82, 2.3, seen_in_extract, guide},
    {"100BASE-FX", "IEEE 802.3", "OM1", 2000, 11, seen_in_extract, guide},
    // SOURCE: equipment installation manual with the 10GBASE-LRM loss table.
    {"10GBASE-LRM", "IEEE 802.3", "OM3", 220, 1.9, seen_in_extract,
     "equipment installation manual with the 10GBASE-LRM loss table; public reference page of 10G receiver "
     "windows"},
    // SOURCE: article with the IEEE 802.3av power budget tables.
    {"10GBASE-PR30", "IEEE 802.3", "SMF", 20000, 29, seen_in_extract,
     "article with the IEEE 802.3av power budget tables"},
    // SOURCE: cabling article with a short OM4 loss table, 128GFC: 85 m, 1.9 dB; 32GFC 100 m, 1.86 dB.
    {"128GFC SW4 (128GFC parallel)", "INCITS, as quoted in a cabling article", "OM4", 85, 1.9,
     seen_in_extract, "cabling article with a short OM4 loss table (some of its names are wrong)"},
    {"32GFC SW (3200-SN)", "INCITS", "OM4", 100, 1.86, seen_in_extract,
     "cabling article with a short OM4 loss table"},
    // SOURCE: IEEE 802.3 reflector message quoting Table 52-24.
    {"10GBASE-ER", "IEEE 802.3, as quoted on its reflector", "SMF", 40000, 11, seen_in_extract,
     "IEEE 802.3 reflector message on losses of the ER interfaces"},
    // SOURCE: recalled; no outcome may rest on these silently.
    {"8GFC SW (800-Mx-SN-I)", "INCITS", "OM3", 150, 2.04, from_memory, ""},
    {"100GBASE-DR", "IEEE 802.3", "SMF", 500, 3.0, from_memory, ""},
    {"G-PON class B+", "ITU-T G.984.2", "SMF", 20000, 28, from_memory, ""},
    {"400GBASE-FR4", "IEEE 802.3", "SMF", 2000, 4.0, from_memory, ""},
    {"FDDI PMD", "ISO 9314-3", "OM1", 2000, 11, from_memory, ""},
};

class PrintedApplication : public testing::TestWithParam<PrintedCase> {};
INSTANTIATE_TEST_SUITE_P(ShippedApplications, PrintedApplication, testing::ValuesIn(printed_cases));

TEST_P(PrintedApplication, IsFoundWithItsValuesAndSource) {
  const PrintedCase& printed = GetParam();
  const auto rows = rows_of(printed.name, printed.table, printed.fibre);
  ASSERT_EQ(rows.size(), 1U);
  const Application& row = *rows.front();
  ASSERT_TRUE(row.max_length && row.max_loss);
  EXPECT_EQ(row.max_length->value, Metres{printed.metres});
  EXPECT_EQ(row.max_loss->value, Decibels{printed.loss});
  EXPECT_EQ(row.max_length->source.standing, printed.standing);
  EXPECT_EQ(row.max_loss->source.standing, printed.standing);
  EXPECT_EQ(row.source.standing, printed.standing);
  EXPECT_EQ(row.max_loss->source.note, printed.note);
}

// SOURCE: the same design guide and, from memory, the tables of IEEE 802.3.
TEST(ShippedApplications, BothPrintsStandWhereTheyDiffer) {
  EXPECT_EQ(row_of("10GBASE-SR", "IEEE 802.3", "OM1").max_loss->value, Decibels{1.6});
  EXPECT_EQ(row_of("10GBASE-SR", "IEEE 802.3", "OM2").max_loss->value, Decibels{1.8});
  EXPECT_EQ(row_of("1000BASE-LX", "IEEE 802.3", "OM1").max_loss->value, Decibels{2.35});
  EXPECT_EQ(row_of("1000BASE-LX", "IEEE 802.3", "SMF").max_loss->value, Decibels{4.57});
  EXPECT_EQ(row_of("10GBASE-ER", "IEEE 802.3", "SMF").max_loss->value, Decibels{10.9});
  EXPECT_EQ(row_of("128GFC SW4 (128GFC parallel)", "INCITS", "OM4").max_length->value, Metres{100});
  EXPECT_EQ(row_of("400GBASE-FR4", "100G Lambda MSA", "SMF").window.launch_min->value, PowerDbm{-3.3});
  EXPECT_EQ(row_of("400GBASE-FR4", "IEEE 802.3", "SMF").window.launch_min->value, PowerDbm{-3.2});
  // TIA's loss is that of IEEE with the additional loss allowed.
  for (const char* fibre : {"OM1", "OM2"}) {
    const Application& ieee = row_of("10GBASE-SR", "IEEE 802.3", fibre);
    const Decibels together = ieee.max_loss->value + ieee.additional_loss_allowed->value;
    EXPECT_NEAR(row_of("10GBASE-SR", "TIA-568", fibre).max_loss->value.value, together.value, 1e-9);
  }
}

// SOURCE: TIA fibre consortium pages, 100GBASE-FR1 and 400GBASE-LR8 overviews: reach is the loss left by the
// connections over the attenuation of the cable, capped at the reach of IEEE 802.3.
TEST(ShippedApplications, ReachByCableIsWhatTheConnectionsLeave) {
  const std::pair<const char*, double> expected[] = {{"100GBASE-FR1", 2000}, {"400GBASE-LR8", 10000}};
  for (const auto& [name, cap] : expected) {
    const auto rows = rows_of(name, "IEEE 802.3", "");
    ASSERT_EQ(rows.size(), 3U) << name;
    for (const Application* row : rows) {
      const double left = (row->max_loss->value - row->connection_allocation->value).value;
      const double km = std::floor(left / row->cable_class->value.value + 1e-9);
      EXPECT_EQ(row->max_length->value.value, std::min(1000 * km, cap)) << name << ", " << row->fibre;
    }
  }
}

// SOURCE: 40GBASE-SR4 page and TIA fibre consortium pages.
TEST(ShippedApplications, ConnectionsSkewAndNeeds) {
  EXPECT_EQ(row_of("40GBASE-SR4", "IEEE 802.3", "OM3").connection_allocation->value, Decibels{1.5});
  EXPECT_EQ(row_of("40GBASE-SR4", "IEEE 802.3", "OM4").connection_allocation->value, Decibels{1.0});
  EXPECT_EQ(row_of("100GBASE-ER4", "IEEE 802.3", "SMF").connection_allocation->value, Decibels{2.0});
  const Application& array = row_of("400GBASE-SR8", "IEEE 802.3", "OM3");
  EXPECT_EQ(array.skew_max_ns->value, 79);
  EXPECT_EQ(array.skew_variation_max_ns->value, 2.4);
  EXPECT_EQ(row_of("400GBASE-DR4", "IEEE 802.3", "SMF").channel_return_loss_min->value, Decibels{21.4});
  EXPECT_EQ(row_of("1000BASE-LX", "IEEE 802.3", "OM1").needs, "mode-conditioning cord");
  EXPECT_EQ(row_of("10GBASE-LRM", "IEEE 802.3", "OM2").needs, "mode-conditioning cord");
  EXPECT_EQ(row_of("10GBASE-LRM", "IEEE 802.3", "OM3").needs, "");
  EXPECT_NE(row_of("40GBASE-SR4", "IEEE 802.3", "OM4").needs.find("engineered link"), std::string::npos);
}

TEST(ShippedApplications, DirectionsOfPassiveNetworks) {
  const Application& row = row_of("XGS-PON class N1", "ITU-T G.9807.1", "SMF");
  EXPECT_EQ(row.wavelengths, (std::vector<Nanometres>{{1577}, {1270}}));
  EXPECT_EQ(row.use, WavelengthUse::per_direction);
  EXPECT_EQ(row.upstream.launch_max->value, PowerDbm{9});
  EXPECT_EQ(row.upstream.launch_max->source.standing, seen_in_extract);
  EXPECT_EQ(row.upstream.receive_min->source.standing, from_memory);
  EXPECT_EQ(row_of("10GBASE-PR10", "IEEE 802.3", "SMF").upstream_power_budget->value, Decibels{23});
  for (const Application& each : shipped_applications())
    EXPECT_TRUE(each.min_loss || each.family != ApplicationFamily::passive_optical) << each.name;
}

TEST(ShippedApplications, CategoriesFollowTheWordsOfTheTable) {
  using enum FibreCategory;
  const auto categories = [](const char* name, const char* fibre) {
    return row_of(name, "IEEE 802.3", fibre).categories;
  };
  EXPECT_EQ(categories("10GBASE-SR", "OM4/OM5"), (std::vector{om4, om5}));
  EXPECT_EQ(categories("10GBASE-LR", "SMF"), (std::vector{os1, os1a, os2, single_mode_unstated}));
  EXPECT_EQ(categories("200GBASE-LR4", "SMF"), std::vector{os2});
  EXPECT_TRUE(categories("1000BASE-SX", "62.5/125 160").empty());
  EXPECT_TRUE(categories("10GBASE-SR", "50/125 400").empty());
}

}  // namespace
}  // namespace strandbook
