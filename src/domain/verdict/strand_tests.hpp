#pragma once
// The tests of strands.

#include <algorithm>
#include <cstdint>
#include <span>
#include <vector>

#include "domain/verdict/assessment.hpp"

namespace strandbook {

/// Tests stand in the order of the schedule. `strand`: index into Assessment::schedule.
inline std::span<const JudgedTest> tests_of(const Assessment& all, std::uint32_t strand) {
  const auto first = std::partition_point(all.tests.begin(), all.tests.end(),
                                          [strand](const JudgedTest& test) { return test.strand < strand; });
  const auto last = std::find_if(first, all.tests.end(),
                                 [strand](const JudgedTest& test) { return test.strand != strand; });
  return {first, last};
}

/// Indices into Assessment::tests of all the tests of these strands, rising.
inline std::vector<std::uint32_t> all_tests_of(const Assessment& all, std::vector<std::uint32_t> strands) {
  std::sort(strands.begin(), strands.end());
  std::vector<std::uint32_t> numbers;
  for (const std::uint32_t strand : strands)
    for (const JudgedTest& test : tests_of(all, strand))
      numbers.push_back(static_cast<std::uint32_t>(&test - all.tests.data()));
  return numbers;
}

}  // namespace strandbook
