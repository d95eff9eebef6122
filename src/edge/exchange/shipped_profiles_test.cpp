// The owners' profiles that are shipped: their form, their numbers, and limits by their own rules.

#include <gtest/gtest.h>

#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>
#include <set>

#include "edge/exchange/owner_profile_file.hpp"
#include "edge/exchange/schemas_for_tests.hpp"
#include "edge/exchange/shipped_rules_for_tests.hpp"

namespace strandbook {
namespace {

using namespace shipped_rules;

const std::vector<ProfileFile>& profiles() {
  static const std::vector<ProfileFile> files = [] {
    auto read = read_profiles(root + "/rules/profiles");
    if (read) return *read;
    ADD_FAILURE() << describe(read.problem());
    return std::vector<ProfileFile>{};
  }();
  return files;
}

const OwnerProfile& profile(std::string_view name) {
  for (const ProfileFile& file : profiles())
    if (file.profile.id == "owner:" + std::string(name)) return file.profile;
  ADD_FAILURE() << "no profile " << name;
  static const OwnerProfile none;
  return none;
}

// ---------------------------------------------------------------------------------

bool fits_profile_schema(const nlohmann::json& document) {
  return fits_schema(document, "owner-profile.schema.json");
}

TEST(ProfileSchema, EveryShippedFileFits) {
  ASSERT_FALSE(profiles().empty());
  for (const ProfileFile& file : profiles())
    EXPECT_TRUE(fits_profile_schema(nlohmann::json::parse(file.text, nullptr, false))) << file.profile.id;
}

TEST(ProfileSchema, RefusesWhatTheLoaderRefuses) {
  const nlohmann::json good = json_of(root + "/rules/profiles/school-technology-upgrade.json");
  const std::pair<const char*, nlohmann::json> changes[] = {
      {"/id", "school"},
      {"/kind", ""},
      {"/colour", "aqua"},
      {"/rule", "tia-568.3-e"},
      {"/own_rule/id", "school"},
      {"/own_rule/attenuation/0/limit/unit", "dB"},
      {"/own_rule/colour", "aqua"},
      {"/demands/0/directions", "all"},
      {"/reference_method/method", "B"},
      {"/reference_method/standing", "sure"},
      {"/records/0/field", "weather"},
      {"/records/0/field/0", "weather"},
      {"/retest/0/rule", nlohmann::json::array()},
      {"/notice", {{"value", 2}, {"unit", "days"}, {"clause", ""}, {"standing", "checked"}}},
      {"/otdr", {{"pulse", 1}}},
      {"/decision", {{"guard", "U"}, {"clause", ""}, {"standing", "checked"}}},
  };
  EXPECT_TRUE(fits_profile_schema(good));
  for (const auto& [where, value] : changes) {
    nlohmann::json changed = good;
    changed[nlohmann::json::json_pointer(where)] = value;
    EXPECT_FALSE(fits_profile_schema(changed)) << where;
    EXPECT_FALSE(read_profile_text(changed.dump(), "changed.json")) << where;
  }
}

// docs/rule-files.md: 0.2 × 3.0 + 2 × 0.5 = 1.6 dB, by hand.
TEST(ProfileDocument, WorkedExampleIsWhatItSays) {
  std::ifstream stream(root + "/docs/rule-files.md");
  const std::string page{std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
  const std::size_t begin = page.find("```json\n", page.find("### Worked example of a profile")) + 8;
  const std::string text = page.substr(begin, page.find("```", begin) - begin);
  EXPECT_TRUE(fits_profile_schema(nlohmann::json::parse(text, nullptr, false)));
  const auto file = read_profile_text(text, "docs/rule-files.md");
  ASSERT_TRUE(file) << describe(file.problem());
  LimitQuestion question = link_of(FibreCategory::om4, 200, 2, 0, 850);
  question.method = one_cord;
  EXPECT_TRUE(equal(value_of(*file->profile.own_rule, question), 1.6));
  EXPECT_EQ(decision_of(file->profile).conditional_pass, Acceptance::refused);
}

// ---------------------------------------------------------------------------------

TEST(ShippedProfiles, NameRulesThatAreThere) {
  for (const ProfileFile& file : profiles()) {
    if (file.profile.rule.empty() || file.profile.own_rule) continue;
    EXPECT_NE(find_rule(shipped(), file.profile.rule), nullptr) << file.profile.id;
  }
}

TEST(ShippedProfiles, OwnRulesReadFromTheTextThatABookKeeps) {
  std::set<std::string> ids;
  for (const ProfileFile& file : profiles()) {
    if (!file.profile.own_rule) continue;
    const auto rule = read_rule_text(file.own_rule_text, "rule in the book");
    ASSERT_TRUE(rule) << describe(rule.problem());
    EXPECT_EQ(rule->id, file.profile.rule);
    EXPECT_TRUE(ids.insert(rule->id).second) << rule->id;
  }
  EXPECT_EQ(ids, (std::set<std::string>{"own:city-metro-fibre", "own:dark-fibre-lease",
                                        "own:school-technology-upgrade", "own:state-road-department",
                                        "own:university-laboratory"}));
}

struct LimitRow {
  std::string_view profile;
  FibreCategory fibre;
  double metres;
  int connections;
  int splices;
  double nanometres;
  double limit;  ///< dB, worked out by hand
};

// SOURCE: numbers of owners' texts, read in extracts. School technology upgrade: 0.6 dB a mated pair, 3.0 and
// 1.0 dB/km multimode, 0.5 and 0.4 dB/km single-mode. Dark-fibre lease: 0.35 and 0.25 dB/km; state road
// department: 0.35 and 0.22 dB/km; metro agreement: 0.35 dB/km; laboratory: 0.2 and 0.5 dB a connector,
// 0.1 dB a splice. What those texts leave open stands at trade practice: 0.75 dB a pair, 0.3 dB a splice.
const LimitRow limit_rows[] = {
    {"school-technology-upgrade", FibreCategory::om4, 100, 2, 0, 850, 0.1 * 3.0 + 2 * 0.6},        // 1.5
    {"school-technology-upgrade", FibreCategory::om3, 300, 4, 0, 1300, 0.3 * 1.0 + 4 * 0.6},       // 2.7
    {"school-technology-upgrade", FibreCategory::os2, 2000, 4, 0, 1310, 2 * 0.5 + 4 * 0.6},        // 3.4
    {"school-technology-upgrade", FibreCategory::os2, 2000, 4, 2, 1550, 2 * 0.4 + 4 * 0.6 + 0.6},  // 3.8
    {"dark-fibre-lease", FibreCategory::os2, 40000, 2, 10, 1310, 40 * 0.35 + 2 * 0.75 + 3},        // 18.5
    {"dark-fibre-lease", FibreCategory::os2, 40000, 2, 10, 1550, 40 * 0.25 + 2 * 0.75 + 3},        // 14.5
    {"state-road-department", FibreCategory::os2, 10000, 2, 0, 1310, 10 * 0.35 + 2 * 0.75},        // 5.0
    {"state-road-department", FibreCategory::os2, 10000, 2, 0, 1550, 10 * 0.22 + 2 * 0.75},        // 3.7
    {"city-metro-fibre", FibreCategory::os2, 5000, 2, 4, 1310, 5 * 0.35 + 2 * 0.75 + 4 * 0.3},     // 4.45
    {"university-laboratory", FibreCategory::os2, 500, 2, 2, 1310, 0.5 * 0.4 + 2 * 0.2 + 0.2},     // 0.8
    {"university-laboratory", FibreCategory::om4, 100, 2, 0, 850, 0.1 * 3.5 + 2 * 0.5},            // 1.35
};

TEST(ShippedProfiles, LimitsByTheOwnersCoefficients) {
  for (const LimitRow& row : limit_rows) {
    const OwnerProfile& owner = profile(row.profile);
    ASSERT_TRUE(owner.own_rule);
    LimitQuestion question = link_of(row.fibre, row.metres, row.connections, row.splices, row.nanometres);
    question.method = one_cord;
    EXPECT_TRUE(equal(value_of(*owner.own_rule, question), row.limit))
        << row.profile << " " << row.nanometres << ": " << row.limit;
  }
}

double splice_limit_of(const OwnerProfile& owner, SpliceQuestion question) {
  const auto limit = splice_limit(owner.splices, question);
  EXPECT_TRUE(limit) << owner.id;
  return limit ? limit->limit.value.value : -1;
}

// SOURCE: numbers of owners' texts, read in extracts.
TEST(ShippedProfiles, SpliceLimits) {
  SpliceQuestion question;
  question.wavelength = {1550};
  EXPECT_EQ(splice_limit_of(profile("joint-build"), question), 0.10);
  EXPECT_EQ(splice_limit_of(profile("city-fibre-agreement"), question), 0.20);
  EXPECT_EQ(splice_limit_of(profile("federal-building-guide"), question), 0.3);
  EXPECT_EQ(splice_limit_of(profile("university-laboratory"), question), 0.1);
  question.attempts = 3;
  EXPECT_EQ(splice_limit(profile("joint-build").splices, question)->relaxed->limit.value, Decibels{0.20});
  question.wavelength = {1310};
  EXPECT_EQ(splice_limit_of(profile("city-fibre-agreement"), question), 0.25);
  question.wavelength = {1550};
  question.joint = SpliceJoint::connector_with_splice;
  EXPECT_EQ(splice_limit_of(profile("city-fibre-agreement"), question), 0.50);
  EXPECT_EQ(splice_limit_of(profile("joint-build"), question), 0.5);
  question.fields = ModeFields::mismatched;
  EXPECT_EQ(splice_limit_of(profile("joint-build"), question), 0.8);
  question.joint = SpliceJoint::pigtail_splice;
  question.measure = SpliceMeasure::one_way;
  question.stage = BuildStage::while_building;
  EXPECT_EQ(splice_limit_of(profile("city-fibre-agreement"), question), 0.20);
}

// SOURCE: the same.
TEST(ShippedProfiles, OtherNumbers) {
  const OwnerProfile& signals = profile("traffic-signals");
  EXPECT_EQ(signals.notice->days, 2);
  EXPECT_EQ(signals.notice->count, DayCount::working);
  EXPECT_EQ(signals.results_within->days, 2);
  EXPECT_EQ(signals.otdr->smallest_event->value, Decibels{0.2});
  EXPECT_EQ(signals.reel_deviation_most->value, 5);
  EXPECT_EQ(signals.records_kept_years->value, 10);
  EXPECT_EQ(profile("county").notice->days, 5);
  EXPECT_EQ(profile("county").notice->count, DayCount::calendar);
  EXPECT_EQ(profile("county").otdr->launch_cord_dead_zone->value, 150);
  EXPECT_EQ(profile("airport-electronic-and-paper").handover.at(1).copies, 5);
  EXPECT_EQ(profile("airport-spreadsheet").calibration_months_most->value, 12);
  const OtdrDemand& traces = *profile("otdr-clauses").otdr;
  EXPECT_EQ(traces.indices.at(0).index.value, 1.4677);
  EXPECT_EQ(traces.pulse_most->value, 100);
  EXPECT_EQ(traces.smallest_event->value, Decibels{0.01});
  EXPECT_EQ(traces.averages_least->value, 10000);
  EXPECT_EQ(traces.range_most->value, Metres{10000});
  EXPECT_EQ(profile("university-laboratory").return_loss.at(0).least.value, Decibels{36});
  EXPECT_EQ(profile("city-fibre-agreement").long_spans->above.value, Metres{60000});
  EXPECT_EQ(profile("federal-building-guide").splices_per_km_most->value, 1);
}

}  // namespace
}  // namespace strandbook
