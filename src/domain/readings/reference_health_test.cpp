#include "domain/readings/reference_health.hpp"

#include <gtest/gtest.h>

#include "domain/readings/hour_for_tests.hpp"

namespace strandbook {
namespace {

Reference at(std::optional<std::int64_t> second, double dbm, ReferenceKind kind = ReferenceKind::opening) {
  Reference row;
  row.wavelength = {850};
  row.power = {dbm};
  row.kind = kind;
  if (second) row.time = Instant{*second, true, true, true};
  return row;
}

ReferenceHealth first_health(const std::vector<Reference>& references, std::int64_t now) {
  return health_of(references, {{0.10}, 24 * hour}, Instant{now, true, true, true}).front();
}

TEST(ReferenceHealth, AgeDecides) {
  EXPECT_EQ(first_health({at(0, -20)}, hour).state, ReferenceState::good);
  EXPECT_EQ(first_health({at(0, -20)}, 24 * hour - 60).state, ReferenceState::expires_soon);
  EXPECT_EQ(first_health({at(0, -20)}, 24 * hour).state, ReferenceState::expires_soon);
  EXPECT_EQ(first_health({at(0, -20)}, 24 * hour + 1).state, ReferenceState::expired);
  EXPECT_EQ(first_health({at({}, -20)}, hour).state, ReferenceState::undated);
}

TEST(ReferenceHealth, AClosingCheckClosesOrCondemns) {
  const auto closed = first_health({at(0, -20), at(hour, -20.06, ReferenceKind::closing_check)}, 2 * hour);
  EXPECT_TRUE(closed.closed);
  EXPECT_EQ(closed.state, ReferenceState::good);
  EXPECT_NEAR(closed.change->value, -0.06, 1e-9);
  const auto changed = first_health({at(0, -20), at(hour, -20.34, ReferenceKind::closing_check)}, 2 * hour);
  EXPECT_EQ(changed.state, ReferenceState::changed);
}

TEST(ReferenceHealth, ALaterOpeningTakesThePlace) {
  EXPECT_EQ(first_health({at(0, -20), at(hour, -20.1)}, 2 * hour).state, ReferenceState::superseded);
  auto other = at(hour, -20.1);
  other.cords = "pair 2";
  auto mine = at(0, -20);
  mine.cords = "pair 1";
  EXPECT_EQ(first_health({mine, other}, 2 * hour).state, ReferenceState::good);
}

}  // namespace
}  // namespace strandbook
