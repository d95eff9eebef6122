#include "edge/exchange/connector_grade_file.hpp"

#include <gtest/gtest.h>

#include "edge/exchange/file_bytes.hpp"

namespace strandbook {
namespace {

const std::string shipped_grades_path = STRANDBOOK_ROOT "/rules/connector-grades/connector-grades.json";

// SOURCE: IEC 61755-1 grades B and C, IEC 63267-2-1:2024 grades Bm and Cm, in secondary texts.
TEST(ConnectorGradeFile, ShippedGrades) {
  const auto grades = read_connector_grades(shipped_grades_path);
  ASSERT_TRUE(grades) << describe(grades.problem());
  const struct {
    const char* name;
    double mean;
    double most;
  } rows[] = {{"B", 0.12, 0.25}, {"C", 0.25, 0.50}, {"Bm", 0.30, 0.60}, {"Cm", 0.50, 1.00}};
  for (const auto& row : rows) {
    const AttenuationGrade* grade = attenuation_grade(*grades, row.name);
    ASSERT_NE(grade, nullptr) << row.name;
    EXPECT_EQ(grade->mean.value.value, row.mean);
    EXPECT_EQ(grade->most.value.value, row.most);
    EXPECT_EQ(grade->share.value, 0.97);
    EXPECT_EQ(grade->mean.source.standing, Standing::seen_in_extract);
  }
  EXPECT_EQ(attenuation_grade(*grades, "Bm")->most.source.document, "IEC 63267-2-1");
  EXPECT_EQ(attenuation_grade(*grades, "D")->most.source.standing, Standing::from_memory);
  EXPECT_EQ(attenuation_grade(*grades, "b"), nullptr);
  EXPECT_EQ(return_loss_grade(*grades, "1", FibreMode::multimode)->least.value.value, 45);
  EXPECT_EQ(return_loss_grade(*grades, "1", FibreMode::single_mode)->least.value.value, 60);
  EXPECT_EQ(return_loss_grade(*grades, "4", FibreMode::multimode), nullptr);
}

TEST(ConnectorGradeFile, WhatIsWrongIsNamed) {
  const std::pair<std::string, std::string> wrong[] = {
      {"\"grade\": \"C\"", "\"grade\": \"B\""},
      {"\"value\": 0.12,", "\"value\": 0.30,"},
      {"\"value\": 0.97", "\"value\": 97"},
      {"\"unit\": \"dB\"", "\"unit\": \"dBm\""},
      {"\"mode\": \"single-mode\"", "\"mode\": \"plastic\""},
      {"\"least\"", "\"most\""},
      {"\"standing\": \"from memory\"", "\"standing\": \"own\""},
      {"\"return_loss\": [", "\"return_loss\": 3, \"x\": ["}};
  for (const auto& [from, to] : wrong) {
    std::string text = *read_file_bytes(shipped_grades_path);
    text.replace(text.find(from), from.size(), to);
    const auto grades = read_connector_grades_text(text, "mine.json");
    ASSERT_FALSE(grades) << to;
    EXPECT_GT(grades.problem().at.row, 0u) << to;
  }
  EXPECT_FALSE(read_connector_grades_text("", "x"));
  EXPECT_FALSE(read_connector_grades("/nowhere.json"));
}

}  // namespace
}  // namespace strandbook
