#pragma once
// A part of a job: one building, panel, cable, crew, or some links. What lies outside is counted, never
// forgotten.

#include <string>
#include <vector>

#include "domain/diagnosis/finding.hpp"

namespace strandbook {

/// What belongs: of each list that is not empty, one of its names. Case and outer blanks aside.
struct Scope {
  std::vector<std::string> buildings;
  std::vector<std::string> panels;  ///< an end of the strand, or what stands before its port: "A-P01"
  std::vector<std::string> cables;
  std::vector<std::string> operators;  ///< who took the reading that counts; tests without one are outside
  std::vector<std::string> links;      ///< the cable's name where links are not named

  bool whole() const {
    return buildings.empty() && panels.empty() && cables.empty() && operators.empty() && links.empty();
  }
};

/// How much a job holds.
struct Extent {
  std::size_t links = 0;
  std::size_t strands = 0;
  std::size_t findings = 0;
  Summary tests;
};
Extent extent_of(const JudgedJob& job);

/// Every name that a scope of this job may hold, each list sorted.
Scope names_of(const Assessment& all);

/// Leaves only what the scope holds: its strands, tests and readings, the references these rest on and the
/// closing checks of the same instruments, the findings about its tests. Rows not read and readings that
/// match nothing stay, as they may belong to it. A name that the job does not know is a Problem, and so is a
/// scope that holds no test; the job is then unchanged.
Result<Done> narrow(JudgedJob& job, const Scope& scope);

}  // namespace strandbook
