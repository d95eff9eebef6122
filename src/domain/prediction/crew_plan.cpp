#include "domain/prediction/crew_plan.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace strandbook {
namespace {

void add_references(CrewShare& crew, const TestTimes& times) {
  if (crew.links.empty()) return;
  crew.sessions = static_cast<std::uint32_t>(std::ceil(crew.minutes / (60 * times.session_hours.value)));
  crew.all_minutes = crew.minutes + crew.sessions * times.reference_minutes.value;
  crew.days = crew.all_minutes / (60 * times.day_hours.value);
}

}  // namespace

double minutes_at(const LinkPrediction& link, const TestTimes& times) {
  return times.link_minutes.value + link.passes * times.strand_minutes.value +
         static_cast<double>(link.tests) * times.reading_minutes.value +
         link.expected_failures * times.retest_minutes.value;
}

CrewPlan plan_crews(const JobPrediction& job, const TestTimes& times, std::size_t crews) {
  CrewPlan plan;
  plan.crews.resize(crews);
  std::vector<double> minutes;
  for (const LinkPrediction& link : job.links) minutes.push_back(minutes_at(link, times));
  std::vector<std::uint32_t> order(job.links.size());
  std::iota(order.begin(), order.end(), 0U);
  std::stable_sort(order.begin(), order.end(),
                   [&](std::uint32_t a, std::uint32_t b) { return minutes[a] > minutes[b]; });
  for (const std::uint32_t link : order) {
    CrewShare& least =
        *std::min_element(plan.crews.begin(), plan.crews.end(),
                          [](const CrewShare& a, const CrewShare& b) { return a.minutes < b.minutes; });
    least.links.push_back(link);
    least.tests += job.links[link].tests;
    least.minutes += minutes[link];
  }
  for (CrewShare& crew : plan.crews) {
    add_references(crew, times);
    plan.minutes += crew.all_minutes;
    plan.days = std::max(plan.days, crew.days);
  }
  return plan;
}

}  // namespace strandbook
