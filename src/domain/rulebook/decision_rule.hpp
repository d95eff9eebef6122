#pragma once
// What an owner makes of a result close to the limit: how wide the guard band is, and which of the outcomes
// inside it are taken.

#include <optional>
#include <string_view>

#include "domain/rulebook/rule_ref.hpp"

namespace strandbook {

/// Width of the guard band: none (simple acceptance) or U, the expanded uncertainty with k = 2
/// (ILAC-G8:09/2019, 4.2).
enum class GuardBand { none, expanded_uncertainty };

std::string_view text_of(GuardBand guard);  // "none", "U"
std::optional<GuardBand> parse_guard_band(std::string_view text);

/// Is an outcome taken by the owner?
enum class Acceptance { accepted, refused };

std::string_view text_of(Acceptance acceptance);  // "accepted", "refused"

/// As it stands: what holds where no owner says anything.
struct DecisionRule {
  GuardBand guard = GuardBand::none;
  Acceptance conditional_pass = Acceptance::accepted;  ///< within the limit by less than the guard band
  Acceptance conditional_fail = Acceptance::refused;   ///< beyond the limit by less than the guard band
  RuleRef source;
};

}  // namespace strandbook
