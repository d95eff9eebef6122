#include "edge/exchange/owner_profile_file.hpp"

#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>

#include "edge/exchange/json_node_text.hpp"
#include "edge/exchange/rule_file.hpp"
#include "edge/exchange/wrong_files_for_tests.hpp"

namespace strandbook {
namespace {

namespace fs = std::filesystem;

// One row a line, so that a test can say which line a Problem must name.
constexpr std::string_view own_profile = R"({
  "id": "own-owner:yard", "title": "Yard", "kind": "yard", "document": "Yard terms", "edition": "3",
  "own_rule": {
    "id": "own:yard", "title": "Yard links", "document": "Yard terms", "edition": "3",
    "attenuation": [
      {"fibre": "OS2", "wavelength_nm": [1310, 1550], "limit": {"value": 0.5, "unit": "dB/km", "clause": "2", "standing": "own"}}],
    "connections": [
      {"mode": "single-mode", "place": ["end", "embedded"], "limit": {"value": 0.4, "unit": "dB", "clause": "2", "standing": "own"}}]},
  "demands": [
    {"mode": "single-mode", "directions": "both", "wavelengths": {"value": [1310, 1550], "unit": "nm", "clause": "3", "standing": "own"}}],
  "decision": {"guard": "U", "conditional_pass": "accepted", "conditional_fail": "refused", "clause": "4", "standing": "own"},
  "mean_of_directions": {"clause": "4.1", "standing": "own"},
  "reference_method": {"method": "one-cord", "clause": "4.2", "standing": "own"},
  "conditions": [{"condition": ["closures shut", "every strand"], "clause": "", "standing": "own"}],
  "stages": [{"stage": ["arrival", "final"], "clause": "", "standing": "own"}],
  "long_spans": {"above": {"value": 60000, "unit": "m", "clause": "", "standing": "own"}, "counted_nm": 1550},
  "splices": [
    {"joint": "splice", "measured": "two-way mean", "wavelength_nm": [1310, 1550], "limit": {"value": 0.1, "unit": "dB", "clause": "5", "standing": "own"}, "nominal": {"value": 0.05, "unit": "dB", "clause": "5", "standing": "own"},
     "relaxed": {"attempts": 3, "consequence": "listed", "limit": {"value": 0.2, "unit": "dB", "clause": "5", "standing": "own"}}},
    {"joint": "pigtail splice", "limit": {"value": 0.5, "unit": "dB", "clause": "5", "standing": "own"}, "mismatched": {"value": 0.8, "unit": "dB", "clause": "5", "standing": "own"}}],
  "splices_per_km_most": {"value": 1, "unit": "1/km", "clause": "", "standing": "own"},
  "return_loss": [{"mode": "single-mode", "directions": "both", "least": {"value": 36, "unit": "dB", "clause": "", "standing": "own"}}],
  "reel_deviation_most": {"value": 5, "unit": "%", "clause": "", "standing": "own"},
  "otdr": {
    "directions": {"demand": "both", "clause": "", "standing": "own"},
    "pulse_most": {"value": 100, "unit": "ns", "clause": "", "standing": "own"},
    "indices": [{"wavelength_nm": 1310, "index": {"value": 1.4677, "unit": "1", "clause": "", "standing": "own"}}]},
  "records": [
    {"field": ["strand id", "loss"], "clause": "6", "standing": "own"},
    {"field": "reference time", "clause": "6.1", "standing": "own"}],
  "length_unit": {"unit": "ft", "clause": "", "standing": "own"},
  "calibration_age_most": {"value": 12, "unit": "months", "clause": "", "standing": "own"},
  "handover": [
    {"form": "paper", "copies": 5, "clause": "", "standing": "own"}],
  "refused_forms": [{"form": "text export", "clause": "", "standing": "own"}],
  "notice": {"value": 2, "unit": "working days", "clause": "", "standing": "own"},
  "records_kept": {"value": 10, "unit": "years", "clause": "", "standing": "own"},
  "retest": [{"rule": "action before a repeat", "clause": "", "standing": "own"}],
  "in_words": [{"text": "Fusion only.", "clause": "", "standing": "own"}]
})";

OwnerProfile yard() {
  const auto file = read_profile_text(own_profile, "yard.json");
  EXPECT_TRUE(file) << (file ? "" : describe(file.problem()));
  return file ? file->profile : OwnerProfile{};
}

TEST(ProfileFile, ReadsWhatIsTestedAndDecided) {
  const OwnerProfile profile = yard();
  EXPECT_EQ(profile.rule, "own:yard");
  ASSERT_EQ(profile.demands.size(), 1U);
  EXPECT_EQ(profile.demands[0].directions, DirectionDemand::both);
  EXPECT_EQ(profile.demands[0].source, (RuleRef{"Yard terms", "3", "3", Standing::own, ""}));
  EXPECT_EQ(decision_of(profile).guard, GuardBand::expanded_uncertainty);
  EXPECT_EQ(profile.mean_of_directions->clause, "4.1");
  EXPECT_EQ(profile.reference_method->value, ReferenceMethod::one_cord);
  ASSERT_EQ(profile.conditions.size(), 2U);
  EXPECT_EQ(profile.conditions[1].value, TestCondition::every_strand);
  EXPECT_EQ(profile.stages.at(0).value, BuildStage::on_arrival);
  EXPECT_EQ(profile.long_spans->counted, std::vector<Nanometres>{{1550}});
}

TEST(ProfileFile, ReadsSplicesAndTraces) {
  const OwnerProfile profile = yard();
  ASSERT_EQ(profile.splices.size(), 3U);
  EXPECT_EQ(profile.splices[1].wavelength, Nanometres{1550});
  EXPECT_EQ(profile.splices[1].relaxed->attempts, 3);
  EXPECT_EQ(profile.splices[2].mismatched->value, Decibels{0.8});
  EXPECT_FALSE(profile.splices[2].measure);
  EXPECT_EQ(profile.splices_per_km_most->value, 1);
  EXPECT_EQ(profile.return_loss.at(0).least.value, Decibels{36});
  EXPECT_EQ(profile.reel_deviation_most->value, 5);
  ASSERT_TRUE(profile.otdr);
  EXPECT_EQ(profile.otdr->pulse_most->value, 100);
  EXPECT_EQ(profile.otdr->indices.at(0).index.value, 1.4677);
  EXPECT_FALSE(profile.otdr->wavelengths);
}

TEST(ProfileFile, ReadsWhatIsHandedOver) {
  const OwnerProfile profile = yard();
  ASSERT_EQ(profile.records.size(), 3U);
  EXPECT_EQ(record_wanted(profile, RecordField::reference_time)->clause, "6.1");
  EXPECT_EQ(profile.length_unit->value, LengthUnit::feet);
  EXPECT_EQ(profile.calibration_months_most->value, 12);
  EXPECT_EQ(profile.handover.at(0).copies, 5);
  EXPECT_EQ(profile.refused_forms.at(0).value, HandoverForm::text_export);
  EXPECT_EQ(profile.notice->days, 2);
  EXPECT_EQ(profile.notice->count, DayCount::working);
  EXPECT_FALSE(profile.results_within);
  EXPECT_EQ(profile.records_kept_years->value, 10);
  EXPECT_EQ(profile.retest.at(0).value, RetestRule::action_before_repeat);
  EXPECT_EQ(profile.in_words.at(0).value, "Fusion only.");
}

// A book keeps the own rule as a rule file: it must read as the rule that the profile holds.
TEST(ProfileFile, ItsOwnRuleStandsAloneAsARuleFile) {
  const auto file = read_profile_text(own_profile, "yard.json");
  ASSERT_TRUE(file);
  const auto rule = read_rule_text(file->own_rule_text, "rule in the book");
  ASSERT_TRUE(rule) << describe(rule.problem());
  EXPECT_EQ(rule->id, "own:yard");
  EXPECT_EQ(rule->attenuation.size(), file->profile.own_rule->attenuation.size());
  EXPECT_EQ(rule->attenuation[1].value.value, 0.5);
  EXPECT_EQ(rule->connections[0].source, file->profile.own_rule->connections[0].source);
}

TEST(JsonNodeText, ReadsBackAsTheSameTree) {
  for (const std::string_view text : {"{\"a\": 1.25, \"b\": [1, 2], \"c\": {\"d\": null, \"e\": true, \"f\": "
                                      "[{\"g\": \"\\\"\\u00e9\\n\"}]}}",
                                      "[]", "{}", "[[], {}, -1e-7, 0.1, 123456789]"}) {
    const auto tree = parse_json(text, "t");
    ASSERT_TRUE(tree);
    const std::string once = json_text_of(*tree);
    const auto again = parse_json(once, "t");
    ASSERT_TRUE(again) << once;
    EXPECT_EQ(json_text_of(*again), once);
  }
  EXPECT_EQ(json_text_of(*parse_json("{\"a\":{\"b\":[0.1,3]}}", "t")),
            "{\n  \"a\": {\n    \"b\": [0.1, 3]\n  }\n}");
}

const WrongCase wrong_profiles[] = {
    {"own-owner:yard", "yard", 2, "own-owner: and a name"},
    {"own-owner:yard", "owner:Yard", 2, "own-owner: and a name"},
    {"\"kind\": \"yard\", ", "", 1, "no \"kind\""},
    {"\"kind\": \"yard\"", "\"kind\": \"\"", 2, "\"kind\" is empty"},
    {"\"kind\": \"yard\"", "\"kind\": \"yard\", \"owner\": \"me\"", 2, "\"owner\""},
    {"\"kind\": \"yard\"", "\"kind\": \"yard\", \"rule\": \"tia-568.3-e\"", 2,
     "both \"rule\" and \"own_rule\""},
    {"\"id\": \"own:yard\"", "\"id\": \"yard\"", 6, "in a published rule set"},
    {"\"value\": 0.5, \"unit\": \"dB/km\"", "\"value\": 50, \"unit\": \"dB/km\"", 6, "from 0 to 20 dB/km"},
    {"\"place\": [\"end\", \"embedded\"]", "\"place\": [\"end\"]", 5, "no embedded connection"},
    {"\"value\": [1310, 1550]", "\"value\": [1310, 1625]", 10, "1625 nm on single-mode"},
    {"\"directions\": \"both\", \"wavelengths\"", "\"directions\": \"either\", \"wavelengths\"", 12,
     "a mean of both directions"},
    {"\"guard\": \"U\"", "\"guard\": \"2U\"", 11, "one of \"none\", \"U\""},
    {"\"guard\": \"U\", ", "", 11, "no \"guard\""},
    {"\"conditional_pass\": \"accepted\", \"conditional_fail\": \"refused\"",
     "\"conditional_pass\": \"refused\", \"conditional_fail\": \"accepted\"", 11, "the better of the two"},
    {"\"conditional_pass\": \"accepted\"", "\"conditional_pass\": true", 11, "one of \"accepted\""},
    {"{\"clause\": \"4.1\", \"standing\": \"own\"}", "true", 12, "an object"},
    {"\"clause\": \"4.1\", ", "", 12, "no \"clause\""},
    {"\"method\": \"one-cord\"", "\"method\": \"B\"", 13, "one of \"one-cord\""},
    {"\"every strand\"]", "\"closures shut\"]", 14, "a second condition \"closures shut\""},
    {"[\"arrival\", \"final\"]", "[\"arrival\", \"birth\"]", 15, "one of \"factory\""},
    {"\"value\": 60000, \"unit\": \"m\"", "\"value\": 60, \"unit\": \"km\"", 16, "the unit \"m\""},
    {"\"joint\": \"splice\"", "\"joint\": \"glue\"", 18, "one of \"splice\""},
    {"\"measured\": \"two-way mean\"", "\"measured\": \"twice\"", 18, "one of \"one way\""},
    {"\"limit\": {\"value\": 0.1,", "\"limit\": {\"value\": 0.3,", 18, "a relaxed limit of 0.2 dB"},
    {"\"nominal\": {\"value\": 0.05", "\"nominal\": {\"value\": 0.15", 18, "a nominal loss of 0.15 dB"},
    {"\"attempts\": 3", "\"attempts\": 2.5", 19, "no whole number"},
    {"\"attempts\": 3", "\"attempts\": 0", 19, "from 1 to 20 attempts"},
    {"\"consequence\": \"listed\"", "\"consequence\": \"\"", 19, "\"consequence\" is empty"},
    {"\"value\": 0.8", "\"value\": 0.4", 20, "a limit for mismatched fibres of 0.4 dB"},
    {"\"pigtail splice\", \"limit\"",
     "\"splice\", \"measured\": \"two-way mean\", \"wavelength_nm\": 1310, \"limit\"", 20,
     "a second limit of splice at 1310 nm"},
    {"\"least\": {\"value\": 36", "\"least\": {\"value\": -36", 22, "from 0 to 100 dB"},
    {"\"value\": 5, \"unit\": \"%\"", "\"value\": 0.05, \"unit\": \"%\"", 23, "from 0.1 to 1000 %"},
    {"\"demand\": \"both\"", "\"demand\": \"all\"", 25, "one of \"either\", \"both\""},
    {"\"value\": 100, \"unit\": \"ns\"", "\"value\": 100, \"unit\": \"us\"", 26, "the unit \"ns\""},
    {"\"value\": 1.4677", "\"value\": 14677", 27, "from 1.3 to 1.6"},
    {"\"pulse_most\"", "\"pulse\"", 26, "\"pulse\""},
    {"\"loss\"]", "\"los\"]", 29, "one of \"project\""},
    {"\"field\": \"reference time\"", "\"field\": \"loss\"", 30, "a second field \"loss\""},
    {"\"unit\": \"ft\"", "\"unit\": \"yd\"", 31, "one of \"m\", \"ft\""},
    {"\"value\": 12,", "\"value\": 12.5,", 32, "a whole number"},
    {"\"copies\": 5", "\"copies\": 1.5", 34, "a whole number"},
    {"\"form\": \"text export\"", "\"form\": \"paper\"", 35, "which \"handover\" wants"},
    {"\"working days\"", "\"days\"", 36, "one of \"calendar days\", \"working days\""},
    {"\"value\": 2, \"unit\": \"working", "\"value\": 400, \"unit\": \"working", 36, "from 0 to 366 days"},
    {"\"value\": 10, \"unit\": \"years\"", "\"value\": 10, \"unit\": \"months\"", 37, "the unit \"years\""},
    {"\"rule\": \"action before a repeat\"", "\"rule\": []", 38, "an empty list"},
    {"\"Fusion only.\"", "\"\"", 39, "\"text\" is empty"},
};

class WrongProfile : public testing::TestWithParam<WrongCase> {};
INSTANTIATE_TEST_SUITE_P(ProfileFile, WrongProfile, testing::ValuesIn(wrong_profiles));

TEST_P(WrongProfile, NamesTheLineOfWhateverIsWrong) {
  expect_line_named(own_profile, GetParam(), read_profile_text);
}

TEST(ProfileFile, AShippedProfileHoldsNothingOfAnOwners) {
  const auto file = read_profile_text(with_piece(own_profile, "own-owner:yard", "owner:yard"), "yard.json");
  ASSERT_FALSE(file);
  EXPECT_EQ(file.problem().at.row, 10U);
  EXPECT_NE(describe(file.problem()).find("standing \"own\""), std::string::npos);
}

TEST(ProfileFile, TakesAnyTextWithoutHarm) {
  for (const std::string_view text :
       {"", "[]", "null", "{}", "{\"id\": []}", "{\"own_rule\": 3}", "{\"records\": [[]]}", "{\"otdr\": []}",
        "{\"splices\": [{\"relaxed\": 1}]}", "{\"refused_forms\": {}}", "{\"notice\": [1]}",
        "{\"rule\": {}}"})
    EXPECT_FALSE(read_profile_text(text, "f.json")) << text;
  EXPECT_FALSE(read_profile_text(std::string(4'000'001, ' '), "f.json"));
  EXPECT_FALSE(read_profile_file("/nowhere.json"));
}

TEST(ProfileFolder, HoldsEachProfileUnderItsName) {
  std::string name = (fs::temp_directory_path() / "strandbook-profiles-XXXXXX").string();
  ASSERT_NE(mkdtemp(name.data()), nullptr);
  constexpr std::string_view text = R"({"id": "owner:yard", "title": "Y", "kind": "yard", "document": "Y"})";
  std::ofstream(fs::path(name) / "yard.json") << text;
  ASSERT_TRUE(read_profiles(name));
  EXPECT_EQ(read_profiles(name)->at(0).profile.id, "owner:yard");
  std::ofstream(fs::path(name) / "copy.json") << text;
  const auto twice = read_profiles(name);
  ASSERT_FALSE(twice);
  EXPECT_NE(describe(twice.problem()).find("owner:copy, as the file is called"), std::string::npos);
  fs::remove_all(name);
  EXPECT_FALSE(read_profiles(name));
}

}  // namespace
}  // namespace strandbook
