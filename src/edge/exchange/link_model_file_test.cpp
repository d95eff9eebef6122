#include "edge/exchange/link_model_file.hpp"

#include <algorithm>
#include <cmath>
#include <fstream>
#include <iterator>

#include "edge/exchange/link_models_for_tests.hpp"
#include "edge/exchange/wrong_files_for_tests.hpp"

namespace strandbook {
namespace {

using namespace shipped_models;

const std::string shipped_models_path = STRANDBOOK_ROOT "/rules/ieee-802.3-link-model/link-model.json";

std::string shipped_text() {
  std::ifstream file(shipped_models_path);
  return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

std::size_t line_of(const std::string& text, const std::string& part) {
  return 1 + static_cast<std::size_t>(
                 std::count(text.begin(), text.begin() + static_cast<long>(text.find(part)), '\n'));
}

TEST(LinkModelFile, EveryInputOfEveryRowHasASource) {
  ASSERT_EQ(all_link_models().rows.size(), 16u);
  for (const LinkModelRow& each : all_link_models().rows)
    for (const SourcedInput& input : each.given) {
      EXPECT_EQ(each.inputs.*(input.field->member), input.value) << input.field->name;
      EXPECT_FALSE(input.source.document.empty()) << input.field->name;
      EXPECT_FALSE(input.source.edition.empty()) << input.field->name;
    }
}

TEST(LinkModelFile, ClauseNamesAndPartNamesAreOne) {
  EXPECT_EQ(&row("10GBASE-SR", "OM3"), &row("10GBASE-S", "50/125 2000"));
  EXPECT_EQ(&row("10gbase lr", "os2"), &row("10GBASE-LW", "SMF"));
  EXPECT_EQ(&row("10GBASE-ER", "OS2"), &row("10GBASE-E", "single-mode"));
  EXPECT_EQ(&row("10GBASE-SR", "62.5/125 µm, 200 MHz.km"), &row("10GBASE-SW", "OM1"));
  EXPECT_EQ(&row("10GBASE-SR", "OM5"), &row("10GBASE-SR", "OM4"));
  EXPECT_EQ(&row("1000BASE-SX", "OM1 62.5/125 200 MHz.km"), &row("1000BASE-SX", "OM1"));
}

TEST(LinkModelFile, SingleModeStandsForItsDelayByABandwidth) {
  EXPECT_NEAR(row("10GBASE-LR", "OS2").inputs.modal_bandwidth_mhz_km, 333333.3, 0.1);
}

TEST(LinkModelRefusal, SaysWhyAndWhatToUseInstead) {
  const auto has = [](const std::string& text, const char* words) {
    return text.find(words) != std::string::npos;
  };
  EXPECT_TRUE(has(refusal("400GBASE-DR4", "OS2"), "PAM4"));
  EXPECT_TRUE(has(refusal("100GBASE-SR1", "OM4"), "PAM4"));
  EXPECT_TRUE(has(refusal("25GBASE-SR", "OM4"), "forward error correction"));
  EXPECT_TRUE(has(refusal("100GBASE-SR4", "OM4"), "forward error correction"));
  EXPECT_TRUE(has(refusal("10GBASE-LRM", "OM3"), "equalise"));
  EXPECT_TRUE(has(refusal("40GBASE-SR4", "OM3"), "could not be read"));
  EXPECT_TRUE(has(refusal("100BASE-FX", "OM1"), "older"));
  EXPECT_TRUE(has(refusal("XGS-PON class N1", "OS2"), "passive optical"));
  EXPECT_TRUE(has(refusal("1000BASE-LX", "OS2"), "penalties"));
  EXPECT_TRUE(has(refusal("5GBASE-X", "OM3"), "10GBASE-SR"));
  for (const char* application : {"400GBASE-DR4", "25GBASE-SR", "1000BASE-LX", "5GBASE-X"})
    EXPECT_TRUE(has(refusal(application, "OS2"), "published table")) << application;
}

TEST(LinkModelRefusal, AFibreWithoutARowListsThoseThatHaveOne) {
  EXPECT_NE(refusal("10GBASE-SR", "OS2").find("OM3"), std::string::npos);
  EXPECT_NE(refusal("10GBASE-LX4", "OM3").find("62.5/500"), std::string::npos);
  EXPECT_NE(refusal("10GBASE-SR", "").find("OM3"), std::string::npos);
}

TEST(LinkModelRefusal, CableThatMayLoseMoreNeedsItsOwnFigure) {
  EXPECT_TRUE(needs_own_attenuation(row("10GBASE-LR", "OS1a"), "OS1a"));
  EXPECT_FALSE(needs_own_attenuation(row("10GBASE-LR", "OS2"), "OS2"));
}

TEST(LinkModelOwnInput, TakesTheValueAndSaysWhose) {
  const auto own =
      with_own_input(row("10GBASE-SR", "OM4"), &LinkModelInputs::rms_width_nm, 0.2, "data sheet");
  ASSERT_TRUE(own);
  EXPECT_EQ(own->inputs.rms_width_nm, 0.2);
  const auto at = std::find_if(own->given.begin(), own->given.end(),
                               [](const SourcedInput& input) { return input.field->name == "rms_width"; });
  ASSERT_NE(at, own->given.end());
  EXPECT_EQ(at->source.standing, Standing::own);
  for (const double bad : {0.0, -1.0, 1e9, std::nan("")})
    EXPECT_FALSE(with_own_input(row("10GBASE-SR", "OM4"), &LinkModelInputs::rms_width_nm, bad, ""));
}

struct Fault {
  const char* old;
  const char* with;
  const char* words;  ///< of the Problem
};

constexpr Fault faults[] = {
    {"\"unit\": \"MBd\"", "\"unit\": \"GBd\"", "the unit \"MBd\""},
    {"\"rate\": {\"value\": 10312.5", "\"rate\": {\"value\": 1e9", "10 to 30000"},
    {"\"rate\": {\"value\": 10312.5", "\"rate\": {\"value\": \"fast\"", "fast"},
    {"\"rms_width\": {", "\"width\": {", "\"width\""},
    {"\"standing\": \"seen in extract\"", "\"standing\": \"own\"", "own"},
    {"\"standing\": \"seen in extract\"", "\"standing\": \"sure\"", "seen in extract"},
    {"\"categories\": [\"OM3\"]", "\"categories\": [\"OM6\"]", "OM3"},
    {"\"categories\": [\"OM3\"]", "\"categories\": [\"OM1\"]", "a second row for 10GBASE-SR over OM1"},
    {"\"10GBASE-S\", \"50 µm at 850 nm\"]", "\"10GBASE-S\", \"51 µm\"]", "parts"},
    {"\"10GBASE-S\", \"50 µm at 850 nm\"]", "\"10GBASE-S\"]", "no \"modal_noise\""},
    {"\"10GBASE-S\", \"50 µm at 850 nm\"]", "\"10GBASE-S\", \"10GBASE-S\"]", "a second \"rate\""},
    {"\"modal_bandwidth\": {\"value\": 2000, \"unit\": \"MHz·km\"",
     "\"dgd_max\": {\"value\": 2000, \"unit\": \"ps\"", "0.1 to 1000"},
    {"\"sensitivity\": {\"value\": -11.1", "\"sensitivity\": {\"value\": -1.1", "budget above 0"},
    {"\"duty_cycle_distortion\": {\"value\": 7.7", "\"duty_cycle_distortion\": {\"value\": 8.7", "jitter"},
    {"\"deterministic_jitter\": {\"value\": 7.7", "\"deterministic_jitter\": {\"value\": 77", "half a bit"},
    {"\"target_length\"", "\"target\"", "target"},
    {"\"applications\": [\"10GBASE-SR\", \"10GBASE-SW\", \"10GBASE-S\"]", "\"applications\": []",
     "empty list"},
    {"\"outside\"", "\"inside\"", "outside"},
    {"\"parts\": [", "\"parts\": 5, \"p\": [", "a list"},
};

TEST(LinkModelFile, WhatIsWrongIsNamedWithItsLine) {
  for (const Fault& each : faults) {
    const auto read = read_link_model_text(with_piece(shipped_text(), each.old, each.with), "mine.json");
    ASSERT_FALSE(read) << each.with;
    EXPECT_EQ(read.problem().at.file, "mine.json");
    EXPECT_GT(read.problem().at.row, 0u) << describe(read.problem());
    EXPECT_NE(describe(read.problem()).find(each.words), std::string::npos) << describe(read.problem());
  }
}

TEST(LinkModelFile, TheLineIsThatOfTheFault) {
  const std::string text = with_piece(shipped_text(), "\"unit\": \"MBd\"", "\"unit\": \"GBd\"");
  const auto read = read_link_model_text(text, "mine.json");
  ASSERT_FALSE(read);
  EXPECT_EQ(read.problem().at.row, line_of(text, "GBd"));
}

TEST(LinkModelFile, NoFileAndNoJsonAreRefused) {
  EXPECT_FALSE(read_link_models("/nowhere"));
  for (const char* text : {"", "{", "[]", "5", "{}", "null"})
    EXPECT_FALSE(read_link_model_text(text, "x")) << text;
  const std::string whole = shipped_text();
  for (std::size_t cut = 0; cut + 2 < whole.size(); cut += 997)
    EXPECT_FALSE(read_link_model_text(whole.substr(0, cut), "x")) << cut;
}

}  // namespace
}  // namespace strandbook
