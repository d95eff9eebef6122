#pragma once
// Whether a reference may still be worked under, now.

#include <string_view>
#include <vector>

#include "domain/readings/reference_finder.hpp"

namespace strandbook {

enum class ReferenceState {
  good,
  expires_soon,  ///< less than an hour, and less than a tenth of its time, is left
  expired,
  changed,     ///< a closing check differs by more than is allowed
  superseded,  ///< a later one of the same instruments and wavelength stands in its place
  undated,     ///< no time is known: its age cannot be told
};

/// "good", "expires soon", "expired", "changed", "superseded", "undated"
std::string_view text_of(ReferenceState state);

struct ReferenceHealth {
  ReferenceState state = ReferenceState::undated;
  std::optional<std::int64_t> age_s;
  bool closed = false;             ///< a closing check was made
  std::optional<Decibels> change;  ///< closing minus opening, the largest
};

/// One for each reference. A closing check is told by its age alone; whether it closes well shows at its
/// opening.
std::vector<ReferenceHealth> health_of(const std::vector<Reference>& references,
                                       const ReferencePractice& practice, const Instant& now);

}  // namespace strandbook
