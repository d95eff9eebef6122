#pragma once
// The cable schedule: what there is to test, one row per strand, as the contract lists it.

#include <optional>
#include <string>
#include <vector>

#include "domain/link/link.hpp"
#include "domain/problem/problem.hpp"
#include "domain/units/units.hpp"

namespace strandbook {

struct ScheduledStrand {
  std::string cable;
  std::string link;    ///< may be empty where the schedule names strands only
  std::string strand;  ///< as written: leading zeros and all
  std::string end_a;
  std::string end_b;
  std::string building;  ///< scope of reports; may be empty
  std::optional<FibreCategory> fibre;
  Plant plant = Plant::unstated;
  std::optional<Metres> length;
  std::optional<int> connections;
  std::optional<int> splices;
  std::string rule;  ///< overrides the job's rule
  std::optional<Decibels> fixed_limit;
  std::optional<ReferenceMethod> method;
  std::optional<CordGrade> cords;
  std::optional<Configuration> configuration;
  std::vector<Nanometres> wavelengths;  ///< empty = as the rule demands
  std::optional<DirectionDemand> directions;
  std::string doubt;  ///< what in its row could not be read; such a strand is planned but has no limit
  Place at;
};

using Schedule = std::vector<ScheduledStrand>;

/// What readings and reports call the strand's link: its link, or the cable where the schedule names no
/// links.
inline const std::string& link_name(const ScheduledStrand& strand) {
  return strand.link.empty() ? strand.cable : strand.link;
}

}  // namespace strandbook
