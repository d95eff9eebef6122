#include "edge/exchange/array_rules_file.hpp"

#include <gtest/gtest.h>

#include "edge/exchange/file_bytes.hpp"
#include "edge/exchange/wrong_files_for_tests.hpp"

namespace strandbook {
namespace {

const std::string shipped_arrays_path = STRANDBOOK_ROOT "/rules/array-polarity/array-polarity.json";

ArrayRules shipped_arrays() {
  auto rules = read_array_rules(shipped_arrays_path);
  EXPECT_TRUE(rules) << (rules ? "" : describe(rules.problem()));
  return std::move(*rules);
}

// SOURCE: TIA-568.3, types A, B and C of 12 fibres (secondary texts): i, 13 − i, pairs exchanged; of 24 and
// 16 fibres by the same rules.
TEST(ArrayRules, ShippedMapsFollowTheRuleOfTheirType) {
  std::size_t arrays = 0;
  for (const ArrayType& type : shipped_arrays().maps.types) {
    arrays += type.part == ArrayPart::array ? 1 : 0;
    EXPECT_EQ(type.map.size(), static_cast<std::size_t>(type.fibres));
    for (const auto& [near, far] : type.map) {
      const int wanted = type.name == "A"   ? near
                         : type.name == "B" ? type.positions + 1 - near
                                            : near + (near % 2 == 1 ? 1 : -1);
      EXPECT_EQ(far, wanted) << type.name << " " << type.fibres;
    }
    EXPECT_TRUE(type.fibres == 12 || type.source.standing == Standing::from_memory);
  }
  EXPECT_EQ(arrays, 12u);
}

// SOURCE: TIA-568.3-E (secondary text): methods U1 and U2 both take position i to 13 − i.
TEST(ArrayRules, ChannelsThatKeepPairsReverseThePositions) {
  for (const char* name : {"U1", "U2", "method B"})
    EXPECT_EQ(wanted_map(shipped_arrays().maps, name, 12)->map,
              wanted_map(shipped_arrays().maps, "B", 12)->map)
        << name;
  EXPECT_EQ(wanted_map(shipped_arrays().maps, "method A", 12)->map,
            wanted_map(shipped_arrays().maps, "A", 12)->map);
  EXPECT_EQ(wanted_map(shipped_arrays().maps, "method C", 12)->map,
            wanted_map(shipped_arrays().maps, "C", 12)->map);
  EXPECT_FALSE(wanted_map(shipped_arrays().maps, "U2", 12)->not_known.empty());
}

TEST(ArrayRules, GroupIndicesOfSilica) {
  const ArrayRules rules = shipped_arrays();
  const GroupIndexRow* row = group_index_of(rules.group_indices, FibreCategory::om4, {850});
  ASSERT_NE(row, nullptr);
  EXPECT_EQ(row->index.source.standing, Standing::seen_in_extract);
  EXPECT_EQ(group_index_of(rules.group_indices, FibreCategory::om4, {1310}), nullptr);
  EXPECT_EQ(group_index_of(rules.group_indices, FibreCategory::multimode_unstated, {850}), nullptr);
}

TEST(ArrayRules, WhatIsWrongIsNamed) {
  const std::pair<std::string, std::string> wrong[] = {
      {"\"far\": [1, 2,", "\"far\": [1, 1,"},
      {"\"far\": [1, 2,", "\"far\": [1, 2.5,"},
      {"\"far\": [1, 2,", "\"far\": [1,"},
      {"\"far\": [1, 2,", "\"far\": [1, 13,"},
      {"\"type\": \"B\"", "\"type\": \"A\""},
      {"\"parts\": [\"adapter A\"", "\"parts\": [\"adapter Z\""},
      {"\"part\": \"array\"", "\"part\": \"rope\""},
      {"\"standing\": \"seen in extract\", ", ""},
      {"\"cautions\": [", "\"cautions\": [\"\", "},
      {"\"cords\":", "\"chords\":"},
      {"\"value\": 1.496", "\"value\": 14.96"},
      {"\"unit\": \"1\"", "\"unit\": \"ns\""},
      {"\"maps\": [", "\"maps\": [], \"old\": ["}};
  for (const auto& [from, to] : wrong) {
    const auto rules =
        read_array_rules_text(with_piece(*read_file_bytes(shipped_arrays_path), from, to), "mine.json");
    ASSERT_FALSE(rules) << to;
    EXPECT_EQ(rules.problem().at.file, "mine.json");
    EXPECT_GT(rules.problem().at.row, 0u) << to;
  }
  EXPECT_FALSE(read_array_rules_text("[]", "x"));
  EXPECT_FALSE(read_array_rules("/nowhere.json"));
}

}  // namespace
}  // namespace strandbook
