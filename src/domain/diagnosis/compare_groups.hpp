#pragma once
// Which of several groups is unlike the others, by a mixed model with priors.

#include <array>
#include <map>
#include <span>
#include <vector>

#include "domain/statistics/mixed_model.hpp"

namespace strandbook {

struct OddGroup {
  std::size_t group = 0;
  double difference = 0;  ///< to the others, or to what was expected where there are no others
  double deviation = 0;   ///< its standard deviation
  double probability = 1;
  bool alone = false;       ///< nothing to set it against but expectation
  bool one_of_two = false;  ///< two groups differ and nothing tells which is right
};

struct GroupComparison {
  std::vector<OddGroup> odd;         ///< most striking first
  std::vector<GroupEffect> effects;  ///< beside groups, against expectation
  std::size_t compared = 0;          ///< questions asked
};

struct ComparisonModel {
  std::array<PriorValue, 3> priors;
  double spread = 0.3;         ///< prior deviation of a group's error
  double usual_error = 0.025;  ///< deviation between groups while nothing is wrong
  double least = 0.1;          ///< smaller differences are not spoken of
  double worth = 1e-3;         ///< nor those more probable than this
  bool operator==(const ComparisonModel&) const = default;
};

/// Takes the most striking group away and looks again, until none is left.
GroupComparison compare_groups(std::span<const GroupRow> rows, std::size_t groups,
                               const ComparisonModel& model);

/// What was compared last in each window (its mode and wavelengths): a reading changes few of them.
class ComparisonMemory {
 public:
  using Window = std::array<double, 3>;
  /// As `compare_groups`; worked out anew only where something differs.
  const GroupComparison& compare(const Window& window, std::vector<GroupRow> rows, std::size_t groups,
                                 const ComparisonModel& model);

 private:
  struct Remembered {
    std::vector<GroupRow> rows;
    ComparisonModel model;
    GroupComparison result;
  };
  std::map<Window, Remembered> windows_;
};

}  // namespace strandbook
