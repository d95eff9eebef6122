#pragma once
// What the detectors hand to the engine: facts that need no chance, and suspicions with their probability.

#include <array>
#include <cstdint>
#include <vector>

#include "domain/diagnosis/finding.hpp"

namespace strandbook {

/// Families of statistical tests. Within each, false alarms are held down over the whole job.
enum class Family : std::uint8_t { bend, direction, unlike, alike, shift, offset, shared };
inline constexpr std::size_t families = 7;

struct Suspicion {
  Family family = Family::bend;
  double probability = 1;  ///< that one such test shows as much while nothing is wrong
  Finding finding;
};

struct Suspects {
  std::vector<Finding> facts;
  std::vector<Suspicion> suspicions;
  std::array<std::uint64_t, families> looked_at{};  ///< how many tests of each family were made

  void looked(Family family, std::uint64_t tests) { looked_at[static_cast<std::size_t>(family)] += tests; }
  /// Keeps it where it may still count after thousands of others were looked at.
  void suspect(Family family, double probability, Finding finding) {
    constexpr double worth_keeping = 0.001;
    if (probability <= worth_keeping) suspicions.push_back({family, probability, std::move(finding)});
  }
};

}  // namespace strandbook
