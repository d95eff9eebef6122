#include "domain/rulebook/limit.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <string>
#include <string_view>
#include <vector>

namespace strandbook {
namespace {

const RuleRef seen{"TEST 1", "2020", "table 2", Standing::seen_in_extract, ""};
const RuleRef recalled{"TEST 1", "2020", "", Standing::from_memory, ""};

/// End, embedded, join and grade all have values of their own, so that no mix-up can cancel.
RuleSet test_rule() {
  const auto mm = FibreMode::multimode;
  const auto sm = FibreMode::single_mode;
  RuleSet rule;
  rule.id = "test-1";
  rule.attenuation = {{FibreCategory::om4, Plant::unstated, {850}, {3.0}, seen},
                      {FibreCategory::om4, Plant::unstated, {1300}, {1.5}, seen},
                      {FibreCategory::os2, Plant::unstated, {1310}, {0.4}, seen},
                      {FibreCategory::os2, Plant::inside, {1310}, {1.0}, recalled},
                      {FibreCategory::single_mode_unstated, Plant::outside, {1310}, {0.45}, seen}};
  rule.connections = {{mm, ConnectionPlace::embedded, std::nullopt, {0.7}, seen},
                      {mm, ConnectionPlace::end, std::nullopt, {0.6}, seen},
                      {mm, ConnectionPlace::end, CordGrade::reference_grade, {0.4}, recalled},
                      {sm, ConnectionPlace::embedded, std::nullopt, {0.75}, seen},
                      {sm, ConnectionPlace::end, CordGrade::reference_grade, {0.5}, seen}};
  rule.splices = {{mm, {0.3}, seen}};
  rule.reference_joins = {{mm, std::nullopt, {0.6}, seen}, {mm, CordGrade::reference_grade, {0.1}, seen}};
  rule.length_ceilings = {{mm, {2000}, seen}};
  rule.configuration_defaults = {{ReferenceMethod::three_cord, Configuration::channel, seen}};
  return rule;
}

LimitQuestion question() {
  return {.fibre = FibreCategory::om4,
          .plant = Plant::unstated,
          .length = Metres{200},
          .connections = 3,
          .splices = 1,
          .wavelength = {850},
          .method = ReferenceMethod::one_cord,
          .cords = std::nullopt,
          .configuration = Configuration::link};
}

double value_of(const LimitQuestion& asked) {
  const Result<Limit> limit = limit_of(test_rule(), asked);
  EXPECT_TRUE(limit) << describe(limit.problem());
  return limit ? limit->value.value : std::nan("");
}

std::string refusal_of(const RuleSet& rule, const LimitQuestion& asked) {
  const Result<Limit> limit = limit_of(rule, asked);
  return limit ? "no refusal" : describe(limit.problem());
}

bool has_note(const Limit& limit, std::string_view part) {
  for (const std::string& note : limit.notes)
    if (note.find(part) != std::string::npos) return true;
  return false;
}

struct MethodCase {
  std::optional<ReferenceMethod> method;
  std::optional<CordGrade> cords;
  std::optional<Configuration> configuration;
  double connections;  ///< what ends, embedded and joins add up to, for three connections
};

// Hand sums of the model of a reading, F + 2E − joins·R: own derivation from what each reference holds.
TEST(Limit, CountsWhatAReadingOfEachMethodHolds) {
  using enum ReferenceMethod;
  using enum CordGrade;
  using enum Configuration;
  const MethodCase cases[] = {
      {one_cord, std::nullopt, link, 2 * 0.6 + 0.7},
      {two_cord, std::nullopt, link, 2 * 0.6 + 0.7 - 0.6},
      {three_cord, std::nullopt, link, 2 * 0.6 + 0.7 - 2 * 0.6},
      {one_cord, reference_grade, link, 2 * 0.4 + 0.7},
      {two_cord, reference_grade, link, 2 * 0.4 + 0.7 - 0.1},
      {three_cord, reference_grade, link, 2 * 0.4 + 0.7 - 2 * 0.1},
      {one_cord, standard_grade, link, 2 * 0.6 + 0.7},  // no row names the grade: the row for any grade
      {one_cord, std::nullopt, channel, 3 * 0.7},
      {two_cord, reference_grade, channel, 3 * 0.7},
      {three_cord, std::nullopt, channel, 3 * 0.7},
      {three_cord, std::nullopt, std::nullopt, 3 * 0.7},            // the rule's own default: channel
      {two_cord, std::nullopt, std::nullopt, 2 * 0.6 + 0.7 - 0.6},  // no default: link
      {std::nullopt, std::nullopt, link, 3 * 0.7},
  };
  for (const MethodCase& each : cases) {
    LimitQuestion asked = question();
    asked.method = each.method;
    asked.cords = each.cords;
    asked.configuration = each.configuration;
    EXPECT_NEAR(value_of(asked), 0.2 * 3.0 + 0.3 + each.connections, 1e-12) << &each - cases;
  }
}

std::vector<std::string> terms_of(const Limit& limit) {
  std::vector<std::string> terms;
  for (const LimitTerm& term : limit.working) terms.push_back(term.term);
  return terms;
}

TEST(Limit, WorkingAddsUp) {
  LimitQuestion asked = question();
  asked.method = ReferenceMethod::two_cord;
  const auto limit = limit_of(test_rule(), asked);
  ASSERT_TRUE(limit);
  EXPECT_EQ(terms_of(*limit), (std::vector<std::string>{"fibre", "end connections", "reference joins",
                                                        "embedded connections", "splices"}));
  EXPECT_DOUBLE_EQ(limit->working[0].count, 0.2);  // kilometres
  Decibels sum;
  for (const LimitTerm& term : limit->working) sum += term.count * term.each;
  EXPECT_DOUBLE_EQ(sum.value, limit->value.value);
}

TEST(Limit, OfNothingIsTheFibreTermAlone) {
  LimitQuestion asked = question();
  asked.connections = 0;
  asked.splices = 0;
  asked.length = Metres{0};
  const auto bare = limit_of(test_rule(), asked);
  ASSERT_TRUE(bare);
  ASSERT_EQ(bare->working.size(), 1U);
  EXPECT_EQ(bare->working[0].term, "fibre");
  EXPECT_EQ(bare->value.value, 0);
}

TEST(Limit, OneConnectionHasOneEndAndAtMostOneJoin) {
  LimitQuestion asked = question();
  asked.connections = 1;
  asked.method = ReferenceMethod::three_cord;
  asked.cords = CordGrade::reference_grade;
  EXPECT_NEAR(value_of(asked), 0.6 + 0.3 + 0.4 - 0.1, 1e-12);
}

TEST(Limit, JoinsNeverTakeMoreThanTheEndConnections) {
  RuleSet rule = test_rule();
  rule.reference_joins[0].value = {0.9};
  LimitQuestion asked = question();
  asked.method = ReferenceMethod::three_cord;
  const auto limit = limit_of(rule, asked);
  ASSERT_TRUE(limit);
  EXPECT_NEAR(limit->value.value, 0.6 + 0.7 + 0.3, 1e-12);
  EXPECT_TRUE(has_note(*limit, "a reference join of 0.9 dB is counted as the end connection's 0.6 dB"));
}

TEST(Limit, WithoutMethodNothingMayRestOnIt) {
  LimitQuestion asked = question();
  asked.method = std::nullopt;
  const auto limit = limit_of(test_rule(), asked);
  ASSERT_TRUE(limit);
  EXPECT_FALSE(limit->method_stated);
  EXPECT_TRUE(has_note(*limit, "reference method not stated"));
  RuleSet own = test_rule();
  own.reference_method_when_unstated = ReferenceMethod::one_cord;
  const auto taken = limit_of(own, asked);
  ASSERT_TRUE(taken);
  EXPECT_TRUE(taken->method_stated);
  EXPECT_TRUE(has_note(*taken, "reference method not stated: one-cord, as test-1 sets"));
}

TEST(Limit, SaysWhatWasTakenForGranted) {
  LimitQuestion asked = question();
  asked.method = ReferenceMethod::three_cord;
  asked.configuration = std::nullopt;
  asked.splices = std::nullopt;
  asked.length = Metres{2000.5};
  const auto limit = limit_of(test_rule(), asked);
  ASSERT_TRUE(limit);
  EXPECT_TRUE(has_note(*limit, "configuration not stated: taken as a channel for the three-cord method"));
  EXPECT_TRUE(has_note(*limit, "splices not stated: counted as 0"));
  EXPECT_TRUE(has_note(*limit, "length 2000.5 m is above the ceiling of 2000 m for multimode"));
  asked = question();
  EXPECT_TRUE(has_note(*limit_of(test_rule(), asked), "grade of the test cords not stated"));
  asked.cords = CordGrade::standard_grade;
  EXPECT_TRUE(limit_of(test_rule(), asked)->notes.empty());
}

TEST(Limit, PlantPicksItsRowAndElseTheRowForAny) {
  LimitQuestion asked = question();
  asked.fibre = FibreCategory::os2;
  asked.wavelength = {1310};
  asked.connections = 0;
  asked.splices = 0;
  EXPECT_NEAR(value_of(asked), 0.08, 1e-12);
  EXPECT_TRUE(has_note(*limit_of(test_rule(), asked), "plant not stated"));
  asked.plant = Plant::inside;
  EXPECT_NEAR(value_of(asked), 0.2, 1e-12);
  EXPECT_TRUE(rests_on_memory(*limit_of(test_rule(), asked)));
  asked.plant = Plant::outside;
  EXPECT_NEAR(value_of(asked), 0.08, 1e-12);
  EXPECT_FALSE(rests_on_memory(*limit_of(test_rule(), asked)));
}

TEST(Limit, RefusesWhatTheRuleHasNoNumberFor) {
  LimitQuestion asked = question();
  asked.wavelength = {1310};
  EXPECT_EQ(
      refusal_of(test_rule(), asked),
      "input: found no attenuation for OM4 at 1310 nm in test-1; expected what the rule has: 850, 1300 nm. "
      "Correct the fibre or the wavelength, or choose a rule that has both.");
  asked.fibre = FibreCategory::om1;
  EXPECT_NE(refusal_of(test_rule(), asked).find("OM4 (850, 1300 nm), OS2 (1310 nm)"), std::string::npos);
  asked.fibre = FibreCategory::single_mode_unstated;
  EXPECT_NE(refusal_of(test_rule(), asked).find("with the plant not stated in test-1; expected the plant"),
            std::string::npos);
  asked.fibre = FibreCategory::os2;
  EXPECT_NE(
      refusal_of(test_rule(), asked).find("no value for end connections on single-mode with unstated grade"),
      std::string::npos);
  asked.cords = CordGrade::reference_grade;
  EXPECT_NE(refusal_of(test_rule(), asked).find("no value for splices on single-mode"), std::string::npos);
  asked.splices = 0;
  asked.method = ReferenceMethod::two_cord;
  EXPECT_NE(refusal_of(test_rule(), asked).find("no value for reference joins"), std::string::npos);
  RuleSet rule = test_rule();
  rule.connections.erase(rule.connections.begin() + 3);
  asked.method = ReferenceMethod::one_cord;
  EXPECT_NE(refusal_of(rule, asked).find("no value for embedded connections"), std::string::npos);
}

TEST(Limit, NamesWhatTheScheduleDoesNotGive) {
  LimitQuestion asked = question();
  asked.length = std::nullopt;
  EXPECT_EQ(refusal_of(test_rule(), asked),
            "input: expected the length in metres; the schedule does not give it.");
  asked = question();
  asked.connections = std::nullopt;
  EXPECT_NE(refusal_of(test_rule(), asked).find("the number of connections; the schedule does not give it"),
            std::string::npos);
  asked = question();
  asked.fibre = std::nullopt;
  EXPECT_NE(refusal_of(test_rule(), asked).find("the schedule does not give it"), std::string::npos);
}

/// Does the refusal of the question say what is wanted?
bool wants(const LimitQuestion& asked, std::string_view wanted) {
  return refusal_of(test_rule(), asked).find(wanted) != std::string::npos;
}

constexpr double nan_value = std::numeric_limits<double>::quiet_NaN();
constexpr double infinite = std::numeric_limits<double>::infinity();

TEST(Limit, RefusesImpossibleLengths) {
  for (const double length : {-0.001, 200'000.001, nan_value, infinite, -infinite}) {
    LimitQuestion asked = question();
    asked.length = Metres{length};
    EXPECT_TRUE(wants(asked, "a length from 0 to 200000 m")) << length;
  }
}

TEST(Limit, RefusesImpossibleWavelengths) {
  for (const double at : {0.0, -850.0, nan_value, infinite}) {
    LimitQuestion asked = question();
    asked.wavelength = {at};
    EXPECT_TRUE(wants(asked, "a wavelength in nm")) << at;
  }
}

TEST(Limit, RefusesImpossibleCounts) {
  for (const int count : {-1, 1001, std::numeric_limits<int>::max(), std::numeric_limits<int>::min()}) {
    LimitQuestion asked = question();
    asked.connections = count;
    EXPECT_TRUE(wants(asked, "a number of connections from 0 to 1000")) << count;
    asked = question();
    asked.splices = count;
    EXPECT_TRUE(wants(asked, "a number of splices from 0 to 1000")) << count;
  }
}

TEST(Limit, TakesTheLargestQuestion) {
  LimitQuestion asked = question();
  asked.length = Metres{200'000};
  asked.connections = 1000;
  asked.splices = 1000;
  EXPECT_NEAR(value_of(asked), 200 * 3.0 + 2 * 0.6 + 998 * 0.7 + 1000 * 0.3, 1e-9);
}

TEST(Limit, AnAliasHoldsOnlyWhereTheRuleHasIt) {
  RuleSet rule = test_rule();
  LimitQuestion asked = question();
  asked.wavelength = {1310};
  EXPECT_FALSE(limit_of(rule, asked));
  rule.aliases = {{FibreMode::multimode, {1310}, {1300}, seen}};
  const auto limit = limit_of(rule, asked);
  ASSERT_TRUE(limit);
  EXPECT_DOUBLE_EQ(limit->working[0].each.value, 1.5);
  EXPECT_TRUE(has_note(*limit, "1310 nm is read as 1300 nm on multimode"));
}

TEST(Limit, AWholeLinkLimitReplacesTheSumAndTheClosestRowHolds) {
  RuleSet rule = test_rule();
  rule.whole_link_limits = {{{0}, std::nullopt, {9}, seen},
                            {{0}, FibreMode::multimode, {8}, seen},
                            {{850}, std::nullopt, {7}, seen},
                            {{850}, FibreMode::multimode, {6}, seen},
                            {{850}, FibreMode::single_mode, {5}, seen}};
  LimitQuestion asked = question();
  const auto limit = limit_of(rule, asked);
  ASSERT_TRUE(limit);
  EXPECT_EQ(limit->value.value, 6);
  EXPECT_TRUE(limit->fixed);
  EXPECT_EQ(limit->working.size(), 1U);
  asked.wavelength = {1300};
  EXPECT_EQ(limit_of(rule, asked)->value.value, 8);
  asked = {};  // nothing but a wavelength is known
  asked.wavelength = {850};
  EXPECT_EQ(limit_of(rule, asked)->value.value, 7);
  asked.wavelength = {1625};
  EXPECT_EQ(limit_of(rule, asked)->value.value, 9);
}

TEST(Limit, OwnTermsComeLast) {
  RuleSet rule = test_rule();
  rule.fixed_terms = {{"headroom", {1.0}, seen}};
  rule.statistical = {.connection_variance = 0.04,
                      .splice_variance = 0.04,
                      .system_variance = 0.09,
                      .coverage = 2,
                      .source = seen};
  const auto limit = limit_of(rule, question());
  ASSERT_TRUE(limit);
  ASSERT_EQ(limit->working.size(), 6U);
  EXPECT_EQ(limit->working[4].term, "headroom");
  EXPECT_EQ(limit->working[5].term, "statistical part");
  EXPECT_NEAR(limit->working[5].total.value, 2 * std::sqrt(3 * 0.04 + 0.04 + 0.09), 1e-12);
}

TEST(Limit, AStatedLimitIsItsOwnWorking) {
  const Limit limit = fixed_limit({2.5}, {"Contract 7", "", "clause 4", Standing::own, ""});
  EXPECT_EQ(limit.value.value, 2.5);
  EXPECT_TRUE(limit.fixed);
  EXPECT_TRUE(limit.method_stated);
  ASSERT_EQ(limit.working.size(), 1U);
  EXPECT_EQ(describe(limit.working[0].source), "Contract 7, clause 4 (own)");
}

TEST(RuleRef, SaysDocumentEditionClauseAndStanding) {
  EXPECT_EQ(describe({"ISO/IEC 14763-3", "2024", "limit table", Standing::seen_in_extract, "note"}),
            "ISO/IEC 14763-3:2024, limit table (seen in extract)");
  EXPECT_EQ(describe({"ANSI/TIA-568.3-D", "", "", Standing::from_memory, ""}),
            "ANSI/TIA-568.3-D (from memory)");
  EXPECT_EQ(describe(RuleRef{}), "(from memory)");
}

TEST(Rulebook, FindsARuleByItsWholeId) {
  const Rulebook rulebook = {test_rule()};
  EXPECT_EQ(find_rule(rulebook, "test-1"), &rulebook.front());
  EXPECT_EQ(find_rule(rulebook, "test-"), nullptr);
}

}  // namespace
}  // namespace strandbook
