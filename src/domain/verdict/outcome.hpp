#pragma once
// Outcome words of ILAC-G8:09/2019 and JCGM 106:2012, and the decision rule that leads to them.

#include <string_view>

#include "domain/rulebook/decision_rule.hpp"
#include "domain/units/units.hpp"

namespace strandbook {

enum class Outcome { pass, conditional_pass, conditional_fail, fail, not_tested, invalid };

std::string_view text_of(Outcome outcome);  // "pass", "conditional pass", ..., "not tested", "invalid"

/// Four-state rule (ILAC-G8:09/2019, 4.2.3): loss ≤ limit − w pass; ≤ limit conditional pass; ≤ limit + w
/// conditional fail; beyond, fail. With w = 0 only pass and fail. w = 2·u. u ≥ 0 dB.
Outcome decide(Decibels loss, Decibels limit, Decibels standard_uncertainty, GuardBand guard);

/// Does the owner take a test with this outcome? "Not tested" and "invalid" are never taken.
bool accepted(Outcome outcome, const DecisionRule& decision);

/// Probability that the true loss is within the limit: Φ((limit − loss)/u) (JCGM 106:2012, 7.4 with a vague
/// prior). With u = 0 it is 1 or 0.
double conformance_probability(Decibels loss, Decibels limit, Decibels standard_uncertainty);

}  // namespace strandbook
