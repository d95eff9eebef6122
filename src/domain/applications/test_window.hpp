#pragma once
// Which measured wavelength may stand for which wavelength of an application. The rows come from
// rules/practice/test-windows.json.

#include <optional>
#include <vector>

#include "domain/link/link.hpp"
#include "domain/rulebook/rule_ref.hpp"
#include "domain/units/units.hpp"

namespace strandbook {

/// A loss read at `reading` for an application between `from` and `to`, both ends included.
struct TestWindow {
  FibreMode mode = FibreMode::single_mode;
  Nanometres reading;
  Nanometres from;
  Nanometres to;
  /// Below this wavelength the fibre loses more than at the reading: that rise must be added.
  std::optional<Nanometres> rise_below;
  RuleRef source;
};

struct TestWindows {
  std::vector<TestWindow> may;    ///< where several readings may stand, the preferred one first
  std::vector<TestWindow> never;  ///< pairs that must not be judged, whatever margin there seems to be
};

/// The rows that let a reading stand for `application`, the preferred one first.
std::vector<TestWindow> windows_for(const TestWindows& windows, FibreMode mode, Nanometres application);

}  // namespace strandbook
