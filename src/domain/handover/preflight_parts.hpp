#pragma once
// The parts that the pre-flight is put together from; for this folder only.

#include "domain/handover/preflight.hpp"

namespace strandbook {

/// What the parts look at, and where they put what they find.
struct PreflightDesk {
  const JobToHandOver& job;
  const DecisionRule& decision;
  const PackRecord& pack;
  std::vector<PreflightItem>& items;

  void tell(PreflightItem item) const { items.push_back(std::move(item)); }
  /// "3 of 600 strands": those of an item, of all that are scheduled.
  std::string part_of_job(const std::vector<std::uint32_t>& strands) const;
  /// Strands of the tests that `wanted` holds for, ascending.
  template <class Wanted>
  std::vector<std::uint32_t> strands_where(const Wanted& wanted) const {
    std::vector<std::uint32_t> strands;
    for (const JudgedTest& test : job.assessment.tests)
      if ((strands.empty() || strands.back() != test.strand) && wanted(test)) strands.push_back(test.strand);
    return strands;
  }
};

// What every owner expects: outcomes, rows left over, findings, numbers that await checking.
void look_at_outcomes(const PreflightDesk& desk);
void look_at_leftovers(const PreflightDesk& desk);
void look_at_findings(const PreflightDesk& desk);
// What the profile demands.
void look_at_tests(const PreflightDesk& desk, const OwnerProfile& profile);
void look_at_records(const PreflightDesk& desk, const OwnerProfile& profile);
void look_at_forms(const PreflightDesk& desk, const OwnerProfile& profile);
void look_at_days(const PreflightDesk& desk, const OwnerProfile& profile);
void look_at_words(const PreflightDesk& desk, const OwnerProfile& profile);

}  // namespace strandbook
