#include "domain/rulebook/decision_rule.hpp"

namespace strandbook {

std::string_view text_of(GuardBand guard) { return guard == GuardBand::none ? "none" : "U"; }

std::optional<GuardBand> parse_guard_band(std::string_view text) {
  for (const GuardBand guard : {GuardBand::none, GuardBand::expanded_uncertainty})
    if (text_of(guard) == text) return guard;
  return std::nullopt;
}

std::string_view text_of(Acceptance acceptance) {
  return acceptance == Acceptance::accepted ? "accepted" : "refused";
}

}  // namespace strandbook
