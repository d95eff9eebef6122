#include "edge/exchange/prediction_file.hpp"

#include <gtest/gtest.h>

#include "edge/exchange/connector_grade_file.hpp"
#include "edge/exchange/file_bytes.hpp"

namespace strandbook {
namespace {

const std::string prediction_folder = std::string(STRANDBOOK_ROOT) + "/rules/";

ComponentStatistics known_grades() {
  ComponentStatistics known;
  known.grades = *read_connector_grades(prediction_folder + "connector-grades/connector-grades.json");
  return known;
}

std::string shipped_with(const std::string& from, const std::string& to) {
  std::string text = *read_file_bytes(prediction_folder + "practice/prediction.json");
  const std::size_t at = text.find(from);
  EXPECT_NE(at, std::string::npos) << from;
  return text.replace(at, from.size(), to);
}

TEST(PredictionFile, ShippedStatisticsCarryTheirStanding) {
  const auto parts = read_prediction_file(prediction_folder + "practice/prediction.json", known_grades());
  ASSERT_TRUE(parts) << describe(parts.problem());
  EXPECT_EQ(parts->single_mode_grade.value, "C");
  EXPECT_EQ(parts->reference_joins.size(), 2u);
  EXPECT_EQ(parts->splices[0].source.standing, Standing::from_memory);
  EXPECT_EQ(parts->times.people.value, 2);
  EXPECT_EQ(parts->least_probability.value, 0.95);
}

TEST(PredictionFile, WrongFilesAreRefusedInPlace) {
  const auto wrong = [](const std::string& from, const std::string& to) {
    const auto parts = read_prediction_text(shipped_with(from, to), "own.json", known_grades());
    EXPECT_FALSE(parts) << to;
    return parts ? Problem{} : parts.problem();
  };
  EXPECT_EQ(wrong("\"value\": \"C\"", "\"value\": \"Bm\"").wanted, "one of A, B, C, D");
  EXPECT_EQ(wrong("\"mean\": 0.05, \"most\": 0.1", "\"mean\": 0.1, \"most\": 0.1").at.row, 9u);
  EXPECT_NE(wrong("\"unit\": \"min\"", "\"unit\": \"h\"").found, "");
  EXPECT_NE(wrong("\"people\"", "\"persons\"").found + wrong("\"people\"", "\"persons\"").wanted, "");
}

TEST(PredictionFile, OwnAttenuationGoesBeforeTheUsual) {
  ComponentStatistics known = known_grades();
  known.attenuation = {{{FibreCategory::os2}, {1310}, {0.34}, {0.02}, {0.28}}};
  const auto parts = read_prediction_text(
      shipped_with("\"splices\": [", R"("attenuation": [{"fibres": ["OS2"], "nm": 1310, "typical": 0.31,
        "deviation": 0.01, "clause": "sheet", "standing": "own"}], "splices": [)"),
      "own.json", known);
  ASSERT_TRUE(parts) << describe(parts.problem());
  ASSERT_EQ(parts->attenuation.size(), 2u);
  EXPECT_EQ(parts->attenuation[0].typical.value, 0.31);
}

}  // namespace
}  // namespace strandbook
