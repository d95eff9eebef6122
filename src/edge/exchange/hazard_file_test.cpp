#include "edge/exchange/hazard_file.hpp"

#include <gtest/gtest.h>

#include "edge/exchange/wrong_files_for_tests.hpp"

namespace strandbook {
namespace {

HazardTable shipped_hazards() {
  Result<HazardTable> table = read_hazards(STRANDBOOK_ROOT "/rules/iec-60825-2/hazard-levels.json");
  EXPECT_TRUE(table) << (table ? "" : describe(table.problem()));
  return table ? std::move(*table) : HazardTable{};
}

// SOURCE: launch cap of 1000BASE-SX, −1.1 dBm; 136 mW = +21.34 dBm above 1400 nm in a secondary text. The
// other levels are from memory: 3.9, 7.5, 25.8, 42.8, 10 and 500 mW.
TEST(Hazards, ShippedLevelsAreThePrintedMilliwatts) {
  const HazardTable table = shipped_hazards();
  ASSERT_EQ(table.rows.size(), 4U);
  const auto milliwatts = [](const std::optional<Sourced<PowerDbm>>& level) {
    return level ? to_milliwatts(level->value).value : 0;
  };
  const double expected[][3] = {{0.78, 0, 500}, {3.9, 7.5, 500}, {25.8, 42.8, 500}, {10, 136, 500}};
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    EXPECT_NEAR(milliwatts(table.rows[i].level_1), expected[i][0], 0.012 * expected[i][0]);
    EXPECT_NEAR(milliwatts(table.rows[i].level_1m), expected[i][1], 0.012 * expected[i][1]);
    EXPECT_NEAR(milliwatts(table.rows[i].level_3b), expected[i][2], 0.012 * expected[i][2]);
  }
  EXPECT_EQ(table.rows[0].level_1->source.standing, Standing::seen_in_extract);
  EXPECT_EQ(table.rows[3].level_1m->source.standing, Standing::seen_in_extract);
  EXPECT_EQ(table.rows[3].level_1->source.standing, Standing::from_memory);
  EXPECT_EQ(table.rows[3].level_1->source.document, "IEC 60825-2");
  ASSERT_FALSE(table.cautions.empty());
  EXPECT_NE(table.cautions.front().find("Local codes"), std::string::npos);
}

constexpr std::string_view good_hazards = R"({
  "title": "T", "document": "D", "edition": "", "cautions": ["Do not look."],
  "levels": [
    {"mode": "single-mode", "wavelength_nm": 1550, "place": "fibre end",
     "level_1": {"value": 10, "unit": "dBm", "clause": "", "standing": "checked"},
     "level_1m": {"value": 21, "unit": "dBm", "clause": "", "standing": "checked"},
     "level_3b": {"value": 27, "unit": "dBm", "clause": "", "standing": "checked"}},
    {"mode": "multimode", "wavelength_nm": 850, "place": "fibre end",
     "level_1": {"value": 5, "unit": "dBm", "clause": "", "standing": "checked"}}
  ]
})";

TEST(Hazards, NameTheLineOfWhateverIsWrong) {
  ASSERT_TRUE(read_hazards_text(good_hazards, "h.json"));
  const WrongCase cases[] = {
      {"[\"Do not look.\"]", "[]", 2, "a list of cautions"},
      {"\"Do not look.\"", "7", 2, "a text"},
      {"\"value\": 21", "\"value\": 9", 4, "levels that rise"},
      {"\"value\": 27", "\"value\": 20", 4, "levels that rise"},
      {"\"value\": 10", "\"value\": 100", 5, "a number from -30 to 60 dBm"},
      {"\"unit\": \"dBm\"", "\"unit\": \"mW\"", 5, "the unit \"dBm\""},
      {"\"standing\": \"checked\"", "\"standing\": \"own\"", 5, "standing \"own\""},
      {"\"multimode\", \"wavelength_nm\": 850", "\"single-mode\", \"wavelength_nm\": 1550", 8, "a second"},
      {"\"level_1\": {\"value\": 5,", "\"level_2\": {\"value\": 5,", 9, "\"level_2\""},
  };
  for (const WrongCase& wrong : cases) expect_line_named(good_hazards, wrong, read_hazards_text);
  EXPECT_FALSE(read_hazards("/nowhere.json"));
}

}  // namespace
}  // namespace strandbook
