#pragma once
// Findings of a job that are kept up while readings arrive. Given the whole at once or strand by strand, it
// comes to the same findings: each is a pure function of some group's present state, and a reading only says
// which groups to look at again.

#include <memory>
#include <span>
#include <vector>

#include "domain/diagnosis/finding.hpp"
#include "domain/diagnosis/practice.hpp"
#include "domain/readings/reference_finder.hpp"

namespace strandbook {

struct FindingSettings {
  ReferencePractice references;
  DiagnosisPractice practice;
  TraceDemands traces = {};
  unsigned workers = 2;
};

class FindingEngine {
 public:
  explicit FindingEngine(FindingSettings settings);
  ~FindingEngine();
  FindingEngine(const FindingEngine&) = delete;
  FindingEngine& operator=(const FindingEngine&) = delete;

  /// Looks at everything anew.
  void examine(const Assessment& all);
  /// Looks again where the tests of these strands play a part. Since the last look readings may have been
  /// added at the end and the tests of these strands changed, nothing else.
  void examine(const Assessment& all, std::span<const std::uint32_t> strands);
  /// Ordered by weight, then by the number of tests at stake.
  const std::vector<Finding>& findings() const;

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
};

}  // namespace strandbook
