#pragma once
// Two recordings of the same plant: which tests changed beyond uncertainty, which outcomes, which strands.

#include <string>
#include <vector>

#include "domain/review/recorded_job.hpp"

namespace strandbook {

inline constexpr std::uint32_t not_there = 0xffffffff;

/// One test in both recordings; `before` and `after` are indices into their tests.
struct TestPair {
  std::uint32_t before = 0;
  std::uint32_t after = 0;
  std::uint32_t group = not_there;  ///< where both have a loss
  Decibels change;                  ///< after − before
  Decibels uncertainty;             ///< u (k = 1) of the change by itself, shared parts included
  Decibels apart;              ///< change less what its group moved together; as `change` in a small group
  Decibels apart_uncertainty;  ///< u of that
  double chance = 1;           ///< probability of so large a change, either way, where nothing changed
  double adjusted = 1;         ///< the same after Benjamini and Hochberg over all tests compared
  bool changed = false;
  bool same_reading = false;  ///< one and the same reading stands in both
};

/// Tests that share a reference before and one after, at one wavelength: what they moved together may be the
/// references' doing.
struct SharedMove {
  std::string reference_before;
  std::string reference_after;
  Nanometres wavelength;
  std::size_t tests = 0;
  Decibels move = {};         ///< Huber's location of the changes
  Decibels uncertainty = {};  ///< u of it: the shared parts of both, and what the tests leave
  bool beyond = false;        ///< more than twice that
  bool settled = false;       ///< enough tests to take the move off each one's change
};

struct Comparison {
  std::vector<TestPair> pairs;
  std::vector<SharedMove> moves;
  std::vector<std::uint32_t> changed;      ///< pairs changed beyond uncertainty, the largest first
  std::vector<std::uint32_t> outcomes;     ///< pairs whose outcome is another one
  std::vector<std::uint32_t> only_before;  ///< tests of `before` that `after` does not have
  std::vector<std::uint32_t> only_after;   ///< and the other way round
  std::vector<std::string> gone_strands;   ///< "link/strand" of which `after` has no test
  std::vector<std::string> new_strands;
  std::size_t compared = 0;  ///< pairs with a loss in both, not the same reading
};

struct ComparisonSettings {
  double false_alarm_rate = 0.05;  ///< share of false ones among the changes told, at most
  std::size_t group_least = 8;     ///< tests from which on a group's common move is taken off
};

Comparison compare_jobs(const RecordedJob& before, const RecordedJob& after,
                        const ComparisonSettings& settings);

}  // namespace strandbook
