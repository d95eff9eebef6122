// The schema of rule files against the loader, and the approved list of every shipped number.

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cstdlib>
#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>
#include <sstream>

#include "edge/exchange/schemas_for_tests.hpp"
#include "edge/exchange/shipped_rules_for_tests.hpp"

namespace strandbook {
namespace {

using namespace shipped_rules;

// ---------------------------------------------------------------------------------

bool fits_rule_schema(const nlohmann::json& document) {
  return fits_schema(document, "rule-file.schema.json");
}

TEST(RuleSchema, EveryShippedFileAndExampleFits) {
  for (const RuleSet& each : shipped())
    EXPECT_TRUE(fits_rule_schema(json_of(root + "/rules/" + each.id + "/cabling.json"))) << each.id;
  for (const char* name : {"w2-statistical", "w3-multimode", "w4-single-mode", "w5-multimode-clock",
                           "w6-safety", "w7-calculator", "w8-headroom", "w9-glossary"})
    EXPECT_TRUE(fits_rule_schema(json_of(root + "/tests/data/rules/own/" + name + ".json"))) << name;
}

TEST(RuleSchema, RefusesWhatTheLoaderRefuses) {
  const nlohmann::json good = json_of(root + "/rules/iso-14763-3-2024/cabling.json");
  const std::pair<const char*, nlohmann::json> changes[] = {
      {"/id", "ISO 14763"},
      {"/colour", "aqua"},
      {"/fixed_terms", nlohmann::json::array()},
      {"/attenuation/0/fibre", "OM6"},
      {"/attenuation/0/limit/unit", "dB"},
      {"/attenuation/0/limit/value", 20.5},
      {"/attenuation/0/limit/standing", "sure"},
      {"/attenuation/0/limit/colour", "aqua"},
      {"/attenuation/0/plant", "sea"},
      {"/connections/0/cords", "good"},
      {"/demands/0/directions", "all"},
      {"/length_ceilings/0/limit/unit", "km"},
  };
  EXPECT_TRUE(fits_rule_schema(good));
  for (const auto& [where, value] : changes) {
    nlohmann::json changed = good;
    changed[nlohmann::json::json_pointer(where)] = value;
    EXPECT_FALSE(fits_rule_schema(changed)) << where;
    EXPECT_FALSE(read_rule_text(changed.dump(), "changed.json")) << where;
  }
}

// docs/rule-files.md: 8 × 0.35 + 4 × 0.5 + 6 × 0.1 + 1.0 = 6.4 dB, by hand.
TEST(RuleDocument, WorkedExampleIsWhatItSays) {
  std::ifstream file(root + "/docs/rule-files.md");
  const std::string page{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
  const std::size_t begin = page.find("```json\n") + 8;
  const std::string text = page.substr(begin, page.find("```", begin) - begin);
  EXPECT_TRUE(fits_rule_schema(nlohmann::json::parse(text, nullptr, false)));
  const auto rules = read_rule_text(text, "docs/rule-files.md");
  ASSERT_TRUE(rules) << describe(rules.problem());
  EXPECT_TRUE(equal(value_of(*rules, link_of(FibreCategory::os2, 8000, 4, 6, 1310)), 6.4));
}

std::string words_of(std::optional<CordGrade> cords) {
  return cords ? std::string(text_of(*cords)) : "unstated";
}

void list_numbers(const RuleSet& rules, std::ostream& out) {
  out << fmt::format("\n{}: {}\n", rules.id, rules.title);
  for (const auto& row : rules.attenuation)
    out << fmt::format("  attenuation {} {} {} nm: {} dB/km, {}\n", text_of(row.fibre),
                       row.plant == Plant::unstated ? "any-plant" : text_of(row.plant), row.wavelength.value,
                       row.value.value, describe(row.source));
  for (const auto& row : rules.connections)
    out << fmt::format("  {} connection {} {} cords: {} dB, {}\n",
                       row.place == ConnectionPlace::end ? "end" : "embedded", text_of(row.mode),
                       words_of(row.cords), row.value.value, describe(row.source));
  for (const auto& row : rules.splices)
    out << fmt::format("  splice {}: {} dB, {}\n", text_of(row.mode), row.value.value, describe(row.source));
  for (const auto& row : rules.reference_joins)
    out << fmt::format("  reference join {} {} cords: {} dB, {}\n", text_of(row.mode), words_of(row.cords),
                       row.value.value, describe(row.source));
  for (const auto& row : rules.length_ceilings)
    out << fmt::format("  ceiling {}: {} m, {}\n", text_of(row.mode), row.value.value, describe(row.source));
  for (const auto& row : rules.demands) {
    out << fmt::format("  demand {} {}:", text_of(row.mode), text_of(row.directions));
    for (const Nanometres at : row.wavelengths) out << fmt::format(" {}", at.value);
    out << " nm, " << describe(row.source) << "\n";
  }
  for (const auto& row : rules.configuration_defaults)
    out << fmt::format("  configuration {}: {}, {}\n", text_of(row.method), text_of(row.configuration),
                       describe(row.source));
}

void list_limits(const RuleSet& rules, LimitQuestion question, std::ostream& out) {
  for (const auto method : {one_cord, two_cord, three_cord}) {
    for (const auto cords :
         {std::optional<CordGrade>(), std::optional(reference_grade), std::optional(standard_grade)}) {
      out << fmt::format("  limit {} {} nm {} {} cords:", text_of(*question.fibre), question.wavelength.value,
                         text_of(method), words_of(cords));
      for (const auto configuration :
           {std::optional<Configuration>(), std::optional(link), std::optional(channel)}) {
        question.method = method;
        question.cords = cords;
        question.configuration = configuration;
        out << fmt::format(" {} {:.3f}", configuration ? text_of(*configuration) : "unstated",
                           value_of(rules, question));
      }
      out << " dB\n";
    }
  }
}

// SOURCE of every number: the source on its own line. Changed on purpose? Run once with STRANDBOOK_APPROVE=1
// and review the difference of tests/golden/shipped-limits.txt.
TEST(ShippedRules, GoldenListOfEveryNumber) {
  std::ostringstream out;
  out << "SOURCE: each line names its own. TOLERANCE: none for numbers, 0.0005 dB for limits.\n"
         "Limits: 1000 m, 4 connections, 2 splices.\n";
  for (const RuleSet& each : shipped()) {
    list_numbers(each, out);
    list_limits(each, link_of(FibreCategory::om4, 1000, 4, 2, 850), out);
    list_limits(each, link_of(FibreCategory::os2, 1000, 4, 2, 1310), out);
  }
  const std::string path = root + "/tests/golden/shipped-limits.txt";
  if (std::getenv("STRANDBOOK_APPROVE") != nullptr) std::ofstream(path) << out.str();
  std::ifstream file(path);
  const std::string approved{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
  EXPECT_EQ(out.str(), approved);
}

}  // namespace
}  // namespace strandbook
