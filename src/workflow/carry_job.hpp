#pragma once
// Which networks the links of a judged job will carry, and whether one channel that a person describes would.

#include <optional>
#include <string>
#include <vector>

#include "domain/applications/job_carries.hpp"
#include "domain/diagnosis/finding.hpp"
#include "workflow/know_applications.hpp"

namespace strandbook {

/// Which answers are wanted; empty = all.
struct CarryWish {
  std::vector<std::string> applications;  ///< names as the tables write them
  std::string link;
};

struct LinkCarries {
  std::string link;
  std::optional<FibreCategory> fibre;
  std::vector<LinkAnswer> answers;  ///< empty where the fibre's category is not known, or no table names it
};

/// Link by link, in the order of the schedule.
std::vector<LinkCarries> carry_job(const CarryGround& ground, const CarryTable& table, const CarryWish& wish);

/// How many groups of strands of the whole job each application has, by answer.
struct ApplicationCount {
  std::uint32_t row = 0;  ///< a row of the application and table
  std::array<std::size_t, 4> groups{};
};
std::vector<ApplicationCount> count_applications(const std::vector<LinkCarries>& links,
                                                 const ApplicationTable& rows);

}  // namespace strandbook
