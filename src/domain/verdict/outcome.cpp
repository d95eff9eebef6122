#include "domain/verdict/outcome.hpp"

#include <cmath>
#include <numbers>

namespace strandbook {

std::string_view text_of(Outcome outcome) {
  switch (outcome) {
    case Outcome::pass:
      return "pass";
    case Outcome::conditional_pass:
      return "conditional pass";
    case Outcome::conditional_fail:
      return "conditional fail";
    case Outcome::fail:
      return "fail";
    case Outcome::not_tested:
      return "not tested";
    case Outcome::invalid:
      return "invalid";
  }
  return {};
}

Outcome decide(Decibels loss, Decibels limit, Decibels standard_uncertainty, GuardBand guard) {
  const Decibels band = guard == GuardBand::none ? Decibels{0} : 2 * standard_uncertainty;
  if (at_most(loss, limit - band)) return Outcome::pass;
  if (at_most(loss, limit)) return Outcome::conditional_pass;
  // w = 0 leaves no room beyond the limit, and at_most(loss, limit) was just refused.
  if (at_most(loss, limit + band)) return Outcome::conditional_fail;
  return Outcome::fail;
}

bool accepted(Outcome outcome, const DecisionRule& decision) {
  switch (outcome) {
    case Outcome::pass:
      return true;
    case Outcome::conditional_pass:
      return decision.conditional_pass == Acceptance::accepted;
    case Outcome::conditional_fail:
      return decision.conditional_fail == Acceptance::accepted;
    case Outcome::fail:
    case Outcome::not_tested:
    case Outcome::invalid:
      return false;
  }
  return false;
}

double conformance_probability(Decibels loss, Decibels limit, Decibels standard_uncertainty) {
  if (standard_uncertainty.value <= 0) return at_most(loss, limit) ? 1 : 0;
  return std::erfc((loss - limit) / standard_uncertainty / std::numbers::sqrt2) / 2;
}

}  // namespace strandbook
