#pragma once
// What to do about a finding, and in which order.

#include <string_view>
#include <vector>

#include "domain/diagnosis/finding.hpp"
#include "domain/diagnosis/practice.hpp"

namespace strandbook {

/// The actions of the decision table for this kind. They are ordered by share / minutes, largest first: where
/// each action settles one cause and one cause is there, this order finds it in the least time on average
/// (Smith's rule, Nav. Res. Logist. Q. 3 (1956) 59).
std::vector<NextStep> steps_for(std::string_view kind, const DiagnosisPractice& practice);

/// Minutes that the steps take on average until the cause is found, in the order given.
double expected_minutes(const std::vector<NextStep>& steps);

}  // namespace strandbook
