#include "edge/exchange/application_file.hpp"

#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <ostream>

#include "edge/exchange/wrong_files_for_tests.hpp"

namespace strandbook {
namespace {

namespace fs = std::filesystem;

// One thing a line, so that a test can say which line a Problem must name.
constexpr std::string_view yard_applications = R"({
  "title": "Yard", "document": "Yard 1", "edition": "2", "table": "Yard", "family": "Ethernet", "note": "",
  "applications": [
    {"name": "10Y-S", "fibre": "OM3", "categories": ["OM3"], "clause": "clause 5", "standing": "from memory", "seen_in": "a page",
     "wavelength_nm": 850, "lanes": 1, "strands": 2, "connector": "duplex LC", "needs": "care", "notes": ["a note"],
     "max_length": {"value": 300, "unit": "m", "standing": "seen in extract"},
     "max_loss": {"value": 2.6, "unit": "dB", "standing": "from memory"},
     "min_loss": {"value": 0.5, "unit": "dB", "standing": "seen in extract", "note": "another page"},
     "skew_max": {"value": 79, "unit": "ns", "standing": "checked", "document": "Field 7", "edition": "3", "clause": "8"},
     "discrete_reflectance_max": {"value": -20, "unit": "dB", "standing": "checked", "clause": "6"},
     "window": {"launch_min": {"value": -7.3, "unit": "dBm", "standing": "checked"}, "launch_max": {"value": -1, "unit": "dBm", "standing": "checked"},
      "receive_min": {"value": -9.9, "unit": "dBm", "standing": "checked"}, "receive_max": {"value": -1.5, "unit": "dBm", "standing": "checked"},
      "damage": {"value": 0, "unit": "dBm", "standing": "checked"}}},
    {"name": "10Y-L4", "fibre": "SMF", "categories": ["OS2", "single-mode"], "clause": "", "standing": "from memory", "table": "Yard B",
     "cable_class": {"value": 0.4, "unit": "dB/km", "standing": "checked"}, "document": "Yard 1B",
     "wavelength_nm": [1271, 1291, 1311, 1331], "use": "multiplexed", "lanes": 4, "strands": 2, "connector": "duplex LC"},
    {"name": "Y-PON", "fibre": "SMF", "clause": "", "standing": "from memory", "family": "passive optical network",
     "wavelength_nm": [1490, 1310], "use": "per direction", "lanes": 1, "strands": 1, "connector": "simplex SC",
     "upstream_max_loss": {"value": 6, "unit": "dB", "standing": "checked"},
     "upstream": {"launch_min": {"value": 0.5, "unit": "dBm", "standing": "checked"}}}
  ]
})";

TEST(ApplicationFile, EveryNumberCarriesItsSource) {
  const auto rows = read_application_text(yard_applications, "yard.json");
  ASSERT_TRUE(rows) << describe(rows.problem());
  ASSERT_EQ(rows->size(), 3U);
  const Application& row = rows->front();
  EXPECT_EQ(row.source, (RuleRef{"Yard 1", "2", "clause 5", Standing::from_memory, "a page"}));
  EXPECT_EQ(row.max_length->value, Metres{300});
  EXPECT_EQ(row.max_length->source,
            (RuleRef{"Yard 1", "2", "clause 5", Standing::seen_in_extract, "a page"}));
  // What the row was read in is no source of a number that was recalled.
  EXPECT_EQ(row.max_loss->source, (RuleRef{"Yard 1", "2", "clause 5", Standing::from_memory, ""}));
  EXPECT_EQ(row.min_loss->source.note, "a page; another page");
  EXPECT_EQ(row.skew_max_ns->source, (RuleRef{"Field 7", "3", "8", Standing::checked, ""}));
  EXPECT_EQ(row.discrete_reflectance_max->source, (RuleRef{"Yard 1", "2", "6", Standing::checked, ""}));
  EXPECT_EQ(row.window.damage->value, PowerDbm{0});
  EXPECT_EQ(row.notes, std::vector<std::string>{"a note"});
  EXPECT_EQ(row.needs, "care");
}

TEST(ApplicationFile, ARowMayDifferFromItsFile) {
  const auto rows = read_application_text(yard_applications, "yard.json");
  ASSERT_TRUE(rows) << describe(rows.problem());
  const Application& lanes = rows->at(1);
  EXPECT_EQ(lanes.table, "Yard B");
  EXPECT_EQ(lanes.source.document, "Yard 1B");
  EXPECT_EQ(lanes.source.edition, "");
  EXPECT_EQ(lanes.categories, (std::vector{FibreCategory::os2, FibreCategory::single_mode_unstated}));
  EXPECT_EQ(lanes.use, WavelengthUse::multiplexed);
  const Application& pon = rows->at(2);
  EXPECT_EQ(pon.table, "Yard");
  EXPECT_EQ(pon.family, ApplicationFamily::passive_optical);
  EXPECT_TRUE(pon.categories.empty());
  EXPECT_EQ(pon.upstream.launch_min->value, PowerDbm{0.5});
  EXPECT_EQ(pon.upstream_max_loss->value, Decibels{6});
}

const WrongCase wrong_applications[] = {
    {"\"title\": \"Yard\", ", "", 1, "no \"title\""},
    {"\"table\": \"Yard\", ", "", 1, "no \"table\""},
    {"\"family\": \"Ethernet\"", "\"family\": \"ethernet\"", 2, "one of \"Ethernet\""},
    {"\"note\": \"\"", "\"colour\": \"aqua\"", 2, "\"colour\""},
    {"\"needs\": \"care\"", "\"need\": \"care\"", 5, "\"need\""},
    {"\"name\": \"10Y-S\"", "\"name\": \"\"", 4, "\"name\" is empty"},
    {"\"clause\": \"clause 5\", ", "", 4, "no \"clause\""},
    {"\"standing\": \"from memory\", \"seen_in\"", "\"seen_in\"", 4, "no \"standing\""},
    {"[\"OM3\"]", "[\"OM6\"]", 4, "one of \"OM1\""},
    {"[\"OM3\"]", "[]", 4, "an empty list"},
    {"[\"OM3\"]", "[\"OM3\", \"OS2\"]", 4, "a row for each mode"},
    {"\"standing\": \"from memory\", \"seen_in\"",
     "\"standing\": \"from memory\", \"edition\": \"4\", \"seen_in\"", 4, "an edition without its document"},
    {"\"wavelength_nm\": 850", "\"wavelength_nm\": 85", 5, "a number from 400 to 2000 nm"},
    {"\"wavelength_nm\": 850", "\"wavelength_nm\": [850, 910]", 4, "one wavelength"},
    {"\"lanes\": 1, \"strands\": 2", "\"lanes\": 1.5, \"strands\": 2", 5, "a whole number"},
    {"\"lanes\": 1, \"strands\": 2", "\"lanes\": 0, \"strands\": 2", 5, "a number from 1 to 64 lanes"},
    {"\"lanes\": 1, \"strands\": 2", "\"lanes\": 4, \"strands\": 2", 4, "two strands for each lane"},
    {"\"notes\": [\"a note\"]", "\"notes\": \"a note\"", 5, "a list of texts"},
    {"\"notes\": [\"a note\"]", "\"notes\": [7]", 5, "a text"},
    {"300, \"unit\": \"m\"", "0.3, \"unit\": \"km\"", 6, "a number from 1 to 200000 m"},
    {"300, \"unit\": \"m\"", "300, \"unit\": \"ft\"", 6, "the unit \"m\""},
    {"300, \"unit\": \"m\", \"standing\": \"seen in extract\"", "300, \"unit\": \"m\"", 6, "no \"standing\""},
    {"300, \"unit\": \"m\", \"standing\": \"seen in extract\"", "300, \"unit\": \"m\", \"standing\": \"own\"",
     6, "standing \"own\" in a published rule set"},
    {", \"seen_in\": \"a page\"", "", 6, "a number seen in an extract that is not named"},
    {"\"value\": 2.6, ", "", 7, "no \"value\""},
    {"\"value\": 2.6", "\"value\": null", 7, "a number from 0 to 60 dB"},
    {"\"value\": 2.6", "\"value\": -2.6", 7, "a number from 0 to 60 dB"},
    {"\"value\": 2.6", "\"value\": 0.5", 4, "a smallest loss below the greatest"},
    {"\"document\": \"Field 7\", ", "", 9, "an edition without its document"},
    {"\"value\": 79", "\"value\": 1001", 9, "a number from 0 to 1000 ns"},
    {"\"value\": -20", "\"value\": 20", 10, "a number from -90 to 0 dB"},
    {"\"value\": -7.3", "\"value\": 7.3", 11, "launch_min and launch_max: 7.3 above -1"},
    {"\"value\": -7.3", "\"value\": -73", 11, "a number from -60 to 30 dBm"},
    {"\"value\": -9.9", "\"value\": -0.9", 11, "receive_min and receive_max"},
    {"\"damage\": {\"value\": 0,", "\"damage\": {\"value\": -3,", 11, "receive_max and damage"},
    {"\"damage\"", "\"burn\"", 13, "\"burn\""},
    {"\"value\": 0.4", "\"value\": 40", 15, "a number from 0 to 20 dB/km"},
    {"[1271, 1291, 1311, 1331]", "[1271, 1291, 1311]", 14, "3 wavelengths, 4 lanes and 2 strands"},
    {"\"use\": \"multiplexed\"", "\"use\": \"shared\"", 16, "one of \"one\", \"multiplexed\""},
    {"[1490, 1310]", "1490", 17, "two wavelengths"},
    {"\"use\": \"per direction\", \"lanes\": 1, \"strands\": 1",
     "\"use\": \"multiplexed\", \"lanes\": 2, \"strands\": 2", 17,
     "upstream numbers with use \"multiplexed\""},
    {"\"name\": \"Y-PON\", \"fibre\": \"SMF\"", "\"name\": \"10Y-S\", \"fibre\": \"OM3\"", 17,
     "a second row 10Y-S over OM3 of Yard (the first is in row 4)"},
};

class WrongApplication : public testing::TestWithParam<WrongCase> {};
INSTANTIATE_TEST_SUITE_P(ApplicationFile, WrongApplication, testing::ValuesIn(wrong_applications));

TEST_P(WrongApplication, NamesTheLineOfWhateverIsWrong) {
  expect_line_named(yard_applications, GetParam(), read_application_text);
}

TEST(ApplicationFile, ALaneIsAWavelengthOfAStrand) {
  // Eight lanes over two strands each way, four wavelengths on each: a module of two in one.
  EXPECT_TRUE(read_application_text(
      with_piece(yard_applications, "\"lanes\": 4, \"strands\": 2", "\"lanes\": 8, \"strands\": 4"), "y"));
  // Equal bounds do not cross.
  EXPECT_TRUE(read_application_text(with_piece(yard_applications, "\"value\": -7.3", "\"value\": -1"), "y"));
}

TEST(ApplicationFile, TakesAnyTextWithoutHarm) {
  for (const std::string_view text :
       {"", "[]", "null", "7", "{}", "{\"applications\": {}}", "{\"applications\": [[]]}",
        "{\"applications\": [{\"window\": 3, \"notes\": {}, \"lanes\": \"x\"}]}"})
    EXPECT_FALSE(read_application_text(text, "f.json")) << text;
}

class ApplicationFolder : public testing::Test {
 protected:
  void SetUp() override {
    std::string name = (fs::temp_directory_path() / "strandbook-applications-XXXXXX").string();
    ASSERT_NE(mkdtemp(name.data()), nullptr);
    root_ = name;
  }
  void TearDown() override { fs::remove_all(root_); }
  void write(const std::string& name, std::string_view text) { std::ofstream(root_ / name) << text; }
  std::string refusal() const {
    const auto rows = read_applications(root_.string());
    return rows ? "no refusal" : describe(rows.problem());
  }
  fs::path root_;
};

TEST_F(ApplicationFolder, ReadsFilesInTheOrderOfTheirNames) {
  std::string abbey = with_piece(yard_applications, "\"table\": \"Yard\"", "\"table\": \"Abbey\"");
  write("b.json", yard_applications);
  write("a.json", abbey);
  write("readme.txt", "no table");
  EXPECT_NE(
      refusal().find("a second row 10Y-L4 over SMF of Yard B with cable of 0.4 dB/km (the first is in "),
      std::string::npos)
      << refusal();
  write("a.json", abbey.replace(abbey.find("Yard B"), 6, "Abbey"));
  const auto rows = read_applications(root_.string());
  ASSERT_TRUE(rows) << describe(rows.problem());
  ASSERT_EQ(rows->size(), 6U);
  EXPECT_EQ(rows->front().table, "Abbey");
  EXPECT_EQ(rows->at(3).table, "Yard");
}

TEST_F(ApplicationFolder, SaysWhichFileCannotBeRead) {
  EXPECT_NE(refusal().find("no file"), std::string::npos);
  EXPECT_FALSE(read_applications((root_ / "nowhere").string()));
  write("broken.json", "{\n\n");
  EXPECT_NE(refusal().find("broken.json, row 1"), std::string::npos) << refusal();
  fs::create_directory(root_ / "a.json");
  EXPECT_NE(refusal().find("a.json"), std::string::npos) << refusal();
}

}  // namespace
}  // namespace strandbook
