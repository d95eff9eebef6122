#include "domain/diagnosis/next_steps.hpp"

#include <algorithm>

namespace strandbook {

std::vector<NextStep> steps_for(std::string_view kind, const DiagnosisPractice& practice) {
  std::vector<NextStep> steps;
  for (const CauseRow& row : practice.causes)
    if (row.kind == kind) steps.push_back({row.action, row.cause, row.share, row.minutes});
  std::stable_sort(steps.begin(), steps.end(), [](const NextStep& a, const NextStep& b) {
    return a.share * b.minutes > b.share * a.minutes;
  });
  return steps;
}

double expected_minutes(const std::vector<NextStep>& steps) {
  double spent = 0;
  double expected = 0;
  for (const NextStep& step : steps) {
    spent += step.minutes;
    expected += step.share * spent;
  }
  return expected;
}

}  // namespace strandbook
