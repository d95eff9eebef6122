#pragma once
// How long the tests of a job take, and which crew takes which link.

#include <vector>

#include "domain/prediction/predicted_job.hpp"

namespace strandbook {

struct CrewShare {
  std::vector<std::uint32_t> links;  ///< indices into JobPrediction::links
  std::size_t tests = 0;
  double minutes = 0;          ///< at the links, retests of the expected failures included
  std::uint32_t sessions = 0;  ///< references to be taken
  double all_minutes = 0;      ///< references included
  double days = 0;             ///< working days
};

struct CrewPlan {
  std::vector<CrewShare> crews;
  double minutes = 0;  ///< of all crews together
  double days = 0;     ///< until the last crew is done
};

/// Minutes at one link: reaching it, connecting its strands, reading, and retests of what is expected to
/// fail.
double minutes_at(const LinkPrediction& link, const TestTimes& times);

/// Links to crews, the longest first, each to the crew that has least to do; crews >= 1.
CrewPlan plan_crews(const JobPrediction& job, const TestTimes& times, std::size_t crews);

}  // namespace strandbook
