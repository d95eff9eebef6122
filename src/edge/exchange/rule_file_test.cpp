#include "edge/exchange/rule_file.hpp"

#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>

#include "domain/rulebook/limit.hpp"
#include "edge/exchange/wrong_files_for_tests.hpp"

namespace strandbook {
namespace {

namespace fs = std::filesystem;

// One row a line, so that a test can say which line a Problem must name.
constexpr std::string_view own_rule = R"({
  "id": "own:yard", "title": "Yard", "document": "Yard specification", "edition": "3",
  "attenuation": [
    {"fibre": "OM4", "wavelength_nm": 850, "limit": {"value": 3.0, "unit": "dB/km", "clause": "2.1", "standing": "own"}},
    {"fibre": "OM4", "wavelength_nm": 1300, "limit": {"value": 1.5, "unit": "dB/km", "clause": "2.1", "standing": "own"}}
  ],
  "connections": [
    {"mode": "multimode", "place": "end", "limit": {"value": 0.5, "unit": "dB", "clause": "2.2", "standing": "own"}},
    {"mode": "multimode", "place": "embedded", "limit": {"value": 0.6, "unit": "dB", "clause": "", "standing": "checked"}}
  ],
  "splices": [
    {"mode": ["multimode"], "limit": {"value": 0.1, "unit": "dB", "clause": "", "standing": "own", "note": "fusion"}}
  ],
  "demands": [
    {"mode": "multimode", "directions": "both", "wavelengths": {"value": [850, 1300], "unit": "nm", "clause": "", "standing": "own"}}
  ],
  "aliases": [
    {"mode": "multimode", "found_nm": 1310, "counts_as": {"value": 1300, "unit": "nm", "clause": "", "standing": "own"}}
  ],
  "fixed_terms": [
    {"name": "headroom", "loss": {"value": 1, "unit": "dB", "clause": "", "standing": "own"}}
  ],
  "reference_method_when_unstated": "one-cord"
})";

TEST(RuleFile, ReadsARuleOfOnesOwn) {
  const auto rule = read_rule_text(own_rule, "yard.json");
  ASSERT_TRUE(rule) << describe(rule.problem());
  EXPECT_EQ(rule->id, "own:yard");
  ASSERT_EQ(rule->attenuation.size(), 2U);
  EXPECT_EQ(rule->attenuation[0].source, (RuleRef{"Yard specification", "3", "2.1", Standing::own, ""}));
  ASSERT_EQ(rule->connections.size(), 2U);
  EXPECT_EQ(rule->connections[1].source.standing, Standing::checked);
  EXPECT_EQ(rule->splices.at(0).source.note, "fusion");
  EXPECT_EQ(rule->demands.at(0).directions, DirectionDemand::both);
  EXPECT_EQ(rule->demands.at(0).wavelengths, (std::vector<Nanometres>{{850}, {1300}}));
  EXPECT_EQ(rule->aliases.at(0).counts_as.value, 1300);
  EXPECT_EQ(rule->fixed_terms.at(0).name, "headroom");
  EXPECT_EQ(rule->reference_method_when_unstated, ReferenceMethod::one_cord);
}

TEST(RuleFile, OneRowOfTheFileMayStandForMany) {
  const auto rule = read_rule_text(
      R"({"id": "own:a", "title": "A", "document": "A", "edition": "", "attenuation": [
        {"fibre": ["OS1a", "OS2"], "plant": ["inside", "outside"], "wavelength_nm": [1310, 1550],
         "limit": {"value": 1, "unit": "dB/km", "clause": "", "standing": "own", "document": "B", "edition": "2"}}],
        "connections": [{"mode": ["single-mode"], "place": ["end", "embedded"],
         "limit": {"value": 0.75, "unit": "dB", "clause": "", "standing": "own"}}]})",
      "a.json");
  ASSERT_TRUE(rule) << describe(rule.problem());
  EXPECT_EQ(rule->attenuation.size(), 8U);
  EXPECT_EQ(rule->connections.size(), 2U);
  EXPECT_EQ(rule->attenuation[7].source.document, "B");
  EXPECT_EQ(rule->attenuation[7].source.edition, "2");
}

const WrongCase wrong_rules[] = {
    {"\"id\": \"own:yard\"", "\"id\": \"Yard!\"", 2, "lower-case letters"},
    {"\"id\": \"own:yard\"", "\"id\": \"own:\"", 2, "lower-case letters"},
    {"\"id\": \"own:yard\",", "", 1, "no \"id\""},
    {"\"title\": \"Yard\"", "\"title\": \"\"", 2, "\"title\" is empty"},
    {"\"title\": \"Yard\"", "\"title\": 7", 2, "a text in quotes"},
    {"\"edition\": \"3\"", "\"edition\": \"3\", \"author\": \"me\"", 2, "\"author\""},
    {"\"edition\": \"3\"", "\"edition\": \"3\", \"title\": \"Yard\"", 2, "a second \"title\""},
    {"\"OM4\", \"wavelength_nm\": 1300", "\"OM6\", \"wavelength_nm\": 1300", 5, "one of \"OM1\", \"OM2\""},
    {"\"OM4\", \"wavelength_nm\": 1300", "\"om4\", \"wavelength_nm\": 1300", 5, "one of \"OM1\", \"OM2\""},
    {"\"OM4\", \"wavelength_nm\": 1300", "[], \"wavelength_nm\": 1300", 5, "an empty list"},
    {"\"wavelength_nm\": 1300", "\"wavelength_nm\": 1300, \"plant\": \"inside\"", 5,
     "a plant on single-mode only"},
    {"\"wavelength_nm\": 1300", "\"wavelength_nm\": 1.3", 5, "a number from 400 to 2000 nm"},
    {"\"wavelength_nm\": 1300", "\"wavelength_nm\": \"1300\"", 5, "a number from 400 to 2000 nm"},
    {"\"wavelength_nm\": 1300", "\"wavelength_nm\": 850", 5, "(the first is in row 4)"},
    {"\"wavelength_nm\": 1300", "\"wavelength\": 1300", 5, "no \"wavelength_nm\""},
    {"\"value\": 1.5", "\"value\": 20.001", 5, "a number from 0 to 20 dB/km"},
    {"\"value\": 1.5", "\"value\": -0.1", 5, "a number from 0 to 20 dB/km"},
    {"\"value\": 1.5", "\"value\": null", 5, "a number from 0 to 20 dB/km"},
    {"\"value\": 1.5", "\"value\": [1.5, 1.6]", 5, "one value"},
    {"1.5, \"unit\": \"dB/km\"", "1.5, \"unit\": \"dB\"", 5, "the unit \"dB/km\""},
    {"0.5, \"unit\": \"dB\"", "0.5, \"unit\": \"dB/km\"", 8, "the unit \"dB\""},
    {"\"value\": 0.5,", "\"value\": 5.5,", 8, "a number from 0 to 5 dB"},
    {"\"clause\": \"2.2\", \"standing\": \"own\"", "\"clause\": \"2.2\"", 8, "no \"standing\""},
    {"\"clause\": \"2.2\", \"standing\": \"own\"", "\"standing\": \"own\"", 8, "no \"clause\""},
    {"\"clause\": \"2.2\", \"standing\": \"own\"", "\"clause\": \"2.2\", \"standing\": \"sure\"", 8,
     "one of \"checked\", \"seen in extract\""},
    {"\"clause\": \"2.2\",", "\"clause\": \"2.2\", \"edition\": \"4\",", 8,
     "an edition without its document"},
    {"\"limit\": {\"value\": 0.5, \"unit\": \"dB\", \"clause\": \"2.2\", \"standing\": \"own\"}",
     "\"limit\": 0.5", 8, "an object"},
    {"\"place\": \"end\"", "\"place\": \"middle\"", 8, "one of \"end\", \"embedded\""},
    {"\"place\": \"end\"", "\"place\": \"end\", \"cords\": \"good\"", 8,
     "one of \"reference\", \"standard\""},
    {"\"place\": \"embedded\"", "\"place\": \"end\"", 9, "a second end connection on multimode"},
    {"\"place\": \"end\"", "\"place\": \"end\", \"cords\": \"reference\"", 3, "but no end connection for it"},
    {"\"place\": \"embedded\"", "\"place\": \"embedded\", \"cords\": \"reference\"", 3,
     "but no embedded connection"},
    {"\"mode\": [\"multimode\"]", "\"mode\": [\"multimode\", \"multimode\"]", 12,
     "a second splice on multimode"},
    {"\"mode\": [\"multimode\"]", "\"mode\": \"twin\"", 12, "one of \"multimode\", \"single-mode\""},
    {"\"directions\": \"both\"", "\"directions\": \"all\"", 15, "one of \"either\", \"both\""},
    {"[850, 1300]", "[850, 1550]", 15, "1550 nm on multimode, for which this rule has no limit"},
    {"[850, 1300]", "[850, 850]", 15, "a second wavelength 850 nm"},
    {"[850, 1300]", "[]", 15, "an empty list"},
    {"\"mode\": \"multimode\", \"directions\"", "\"mode\": \"single-mode\", \"directions\"", 15,
     "850 nm on single-mode"},
    {"\"found_nm\": 1310", "\"found_nm\": 850", 18, "which has its own attenuation"},
    {"{\"value\": 1300, \"unit\": \"nm\"", "{\"value\": 1550, \"unit\": \"nm\"", 18, "has no limit"},
    {"\"value\": 1,", "\"value\": 61,", 21, "a number from 0 to 60 dB"},
    {"\"name\": \"headroom\"", "\"name\": \"\"", 21, "\"name\" is empty"},
    {"\"one-cord\"", "\"method B\"", 23, "one of \"one-cord\", \"two-cord\", \"three-cord\""},
};

class WrongRule : public testing::TestWithParam<WrongCase> {};
INSTANTIATE_TEST_SUITE_P(RuleFile, WrongRule, testing::ValuesIn(wrong_rules));

TEST_P(WrongRule, NamesTheLineOfWhateverIsWrong) { expect_line_named(own_rule, GetParam(), read_rule_text); }

TEST(RuleFile, APublishedRuleHoldsNothingOfAnOwners) {
  const auto rule = read_rule_text(with_piece(own_rule, "own:yard", "yard-3"), "yard.json");
  ASSERT_FALSE(rule);
  EXPECT_NE(describe(rule.problem()).find("standing \"own\" in a published rule set"), std::string::npos);
  std::string text = with_piece(own_rule, "own:yard", "yard-3");
  for (std::size_t at; (at = text.find("\"own\"")) != std::string::npos;) text.replace(at, 5, "\"checked\"");
  const auto terms = read_rule_text(text, "yard.json");
  ASSERT_FALSE(terms);
  EXPECT_EQ(terms.problem().at.row, 20U);
  EXPECT_NE(describe(terms.problem()).find("\"fixed_terms\" in a published rule set"), std::string::npos);
}

TEST(RuleFile, APublishedRuleIsWhole) {
  const auto rule = read_rule_text(
      R"({"id": "a", "title": "A", "document": "A", "edition": "", "attenuation": [{"fibre": "OS2",
       "wavelength_nm": 1310, "limit": {"value": 1, "unit": "dB/km", "clause": "", "standing": "checked"}}],
       "connections": [{"mode": "single-mode", "place": ["end", "embedded"], "limit": {"value": 0.75, "unit": "dB",
       "clause": "", "standing": "checked"}}]})",
      "a.json");
  ASSERT_FALSE(rule);
  EXPECT_NE(describe(rule.problem()).find("but no reference join for it"), std::string::npos);
}

TEST(RuleFile, WholeLinkLimitsAloneAreARule) {
  const auto rule = read_rule_text(
      R"({"id": "own:w", "title": "W", "document": "W", "edition": "", "whole_link_limits": [
      {"limit": {"value": 2.6, "unit": "dB", "clause": "", "standing": "own"}},
      {"wavelength_nm": [1310, 1550], "mode": "single-mode",
       "limit": {"value": 2.1, "unit": "dB", "clause": "", "standing": "own"}}],
      "demands": [{"mode": ["multimode", "single-mode"], "directions": "either",
       "wavelengths": {"value": 1300, "unit": "nm", "clause": "", "standing": "own"}}]})",
      "w.json");
  ASSERT_TRUE(rule) << describe(rule.problem());
  LimitQuestion question;
  question.wavelength = {1550};
  EXPECT_EQ(limit_of(*rule, question)->value.value, 2.6);
  question.fibre = FibreCategory::os2;
  EXPECT_EQ(limit_of(*rule, question)->value.value, 2.1);
  EXPECT_FALSE(read_rule_text(R"({"id": "own:w", "title": "W", "document": "W", "edition": ""})", "w.json"));
}

TEST(RuleFile, TakesAnyTextWithoutHarm) {
  for (const std::string_view text :
       {"", "[]", "null", "7", "\"id\"", "{}", "{\"id\": []}", "{\"attenuation\": {}}",
        "{\"attenuation\": [[]]}", "{\"attenuation\": [7]}", "{\"statistical\": 3}"})
    EXPECT_FALSE(read_rule_text(text, "f.json")) << text;
}

class RuleFolder : public testing::Test {
 protected:
  void SetUp() override {
    std::string name = (fs::temp_directory_path() / "strandbook-rules-XXXXXX").string();
    ASSERT_NE(mkdtemp(name.data()), nullptr);
    root_ = name;
  }
  void TearDown() override { fs::remove_all(root_); }
  void write(const std::string& path, std::string_view text) {
    fs::create_directories((root_ / path).parent_path());
    std::ofstream(root_ / path) << text;
  }
  std::string refusal() const {
    const auto rulebook = read_rulebook(root_.string());
    return rulebook ? "no refusal" : describe(rulebook.problem());
  }
  fs::path root_;
};

TEST_F(RuleFolder, ReadsOwnRulesBesidePublishedOnes) {
  write("own/yard.json", own_rule);
  write("own/other.json", with_piece(own_rule, "own:yard", "own:a"));
  write("practice/uncertainty.json", "{}");
  const auto rulebook = read_rulebook(root_.string());
  ASSERT_TRUE(rulebook) << describe(rulebook.problem());
  ASSERT_EQ(rulebook->size(), 2U);
  EXPECT_EQ(rulebook->front().id, "own:a");
}

TEST_F(RuleFolder, EachIdOnceAndInItsPlace) {
  write("own/yard.json", own_rule);
  write("own/copy.json", own_rule);
  EXPECT_NE(refusal().find("a second rule own:yard"), std::string::npos) << refusal();
  fs::remove(root_ / "own/copy.json");
  write("yard/cabling.json", own_rule);
  EXPECT_NE(refusal().find("the id of its folder"), std::string::npos) << refusal();
}

TEST_F(RuleFolder, SaysWhichFileCannotBeRead) {
  EXPECT_NE(refusal().find("no cabling.json in it"), std::string::npos);
  EXPECT_FALSE(read_rulebook((root_ / "nowhere").string()));
  EXPECT_FALSE(read_rule_file((root_ / "nowhere.json").string()));
  EXPECT_FALSE(read_rule_file(root_.string()));
  write("own/broken.json", "{\n\n");
  EXPECT_NE(refusal().find("own/broken.json, row 1"), std::string::npos) << refusal();
  write("own/broken.json", std::string(4'000'001, ' '));
  EXPECT_NE(refusal().find("4000001 bytes"), std::string::npos) << refusal();
}

}  // namespace
}  // namespace strandbook
