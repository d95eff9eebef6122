#include "edge/exchange/diagnosis_file.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "domain/diagnosis/next_steps.hpp"

namespace strandbook {
namespace {

const std::string shipped_diagnosis = STRANDBOOK_ROOT "/rules/practice/diagnosis.json";

TEST(DiagnosisFile, TheShippedOneIsRead) {
  const Result<DiagnosisPractice> practice = read_diagnosis_file(shipped_diagnosis);
  ASSERT_TRUE(practice) << describe(practice.problem());
  const TypicalAttenuation* row = typical_at(*practice, FibreCategory::os2, {1550});
  ASSERT_NE(row, nullptr);
  EXPECT_LT(row->least.value, row->typical.value);
  EXPECT_EQ(typical_at(*practice, FibreCategory::om4, {1550}), nullptr);
  EXPECT_EQ(typical_at(*practice, std::nullopt, {1550}), nullptr);
}

TEST(DiagnosisFile, StepsFindTheCauseSoonest) {
  const Result<DiagnosisPractice> practice = read_diagnosis_file(shipped_diagnosis);
  ASSERT_TRUE(practice);
  for (const CauseRow& cause : practice->causes) {
    std::vector<NextStep> steps = steps_for(cause.kind, *practice);
    const double best = expected_minutes(steps);
    std::sort(steps.begin(), steps.end(),
              [](const NextStep& a, const NextStep& b) { return a.cause < b.cause; });
    do EXPECT_GE(expected_minutes(steps), best - 1e-9) << cause.kind;
    while (std::next_permutation(steps.begin(), steps.end(),
                                 [](const NextStep& a, const NextStep& b) { return a.cause < b.cause; }));
  }
}

TEST(DiagnosisFile, MissingFileIsAProblem) { EXPECT_FALSE(read_diagnosis_file("/nowhere.json")); }

}  // namespace
}  // namespace strandbook
