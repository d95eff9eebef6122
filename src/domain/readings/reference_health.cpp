#include "domain/readings/reference_health.hpp"

#include <algorithm>
#include <cmath>

namespace strandbook {
namespace {

constexpr std::int64_t hour_s = 3600;

/// The later opening that a crew with these instruments works under now.
bool supersedes(const Reference& later, const Reference& earlier) {
  return later.kind == ReferenceKind::opening && later.time && earlier.time &&
         seconds_between(*earlier.time, *later.time).value_or(0) > 0 && same_chain(earlier, later);
}

ReferenceState state_of(const ReferenceHealth& health, const ReferencePractice& practice) {
  if (health.change && !at_most({std::abs(health.change->value)}, practice.change_allowed))
    return ReferenceState::changed;
  if (!health.age_s) return ReferenceState::undated;
  if (!practice.valid_for_s) return ReferenceState::good;
  const std::int64_t left = *practice.valid_for_s - *health.age_s;
  if (left < 0) return ReferenceState::expired;
  return left < std::min(hour_s, *practice.valid_for_s / 10) ? ReferenceState::expires_soon
                                                             : ReferenceState::good;
}

}  // namespace

std::string_view text_of(ReferenceState state) {
  switch (state) {
    case ReferenceState::good:
      return "good";
    case ReferenceState::expires_soon:
      return "expires soon";
    case ReferenceState::expired:
      return "expired";
    case ReferenceState::changed:
      return "changed";
    case ReferenceState::superseded:
      return "superseded";
    case ReferenceState::undated:
      return "undated";
  }
  return {};
}

std::vector<ReferenceHealth> health_of(const std::vector<Reference>& references,
                                       const ReferencePractice& practice, const Instant& now) {
  const ReferenceFinder finder(references, practice);
  std::vector<ReferenceHealth> all(references.size());
  for (std::uint32_t i = 0; i < references.size(); ++i) {
    const Reference& reference = references[i];
    ReferenceHealth& health = all[i];
    if (reference.time) health.age_s = seconds_between(*reference.time, now);
    health.change = finder.change_of(i);
    health.closed = health.change.has_value();
    health.state = state_of(health, practice);
    const bool replaced = std::any_of(references.begin(), references.end(),
                                      [&](const Reference& other) { return supersedes(other, reference); });
    if (replaced && health.state != ReferenceState::changed) health.state = ReferenceState::superseded;
  }
  return all;
}

}  // namespace strandbook
