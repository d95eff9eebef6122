#include "domain/traces/broken_fibre.hpp"

#include <gtest/gtest.h>

namespace strandbook {
namespace {

/// A trace whose fibre ends so far from the connection on its own side, with a splice on the way.
HeldTrace ending(Direction direction, double end_m, double splice_m) {
  HeldTrace trace;
  trace.direction = direction;
  trace.seen.length = {end_m - 150};  // by a receive cord that is not there
  trace.seen.ends = Metres{end_m};
  LinkEvent splice;
  splice.position = {splice_m};
  splice.loss = Measured{0.06, 0.01};
  LinkEvent end;
  end.kind = EventKind::end_of_fibre;
  end.position = {end_m};
  trace.seen.events = {splice, end};
  return trace;
}

std::vector<double> places(const BrokenFibre& broken, EventKind kind) {
  std::vector<double> metres;
  for (const TwoWayEvent& event : broken.seen.events)
    if (event.kind == kind) metres.push_back(event.position.value);
  return metres;
}

// SOURCE: common practice: a break is located from both ends; the two distances make the length of the link.
TEST(BrokenFibre, BothEndsTogetherMakeTheLengthOfTheLink) {
  const HeldTrace a = ending(Direction::a_to_b, 903, 700);
  const HeldTrace b = ending(Direction::b_to_a, 549, 12);
  const auto broken = broken_fibre(&a, &b, {1450}, MeterLight::unknown);
  ASSERT_TRUE(broken.has_value());
  EXPECT_DOUBLE_EQ(broken->from_a->value, 903);
  EXPECT_DOUBLE_EQ(broken->seen.length.value, 1452);
  EXPECT_EQ(places(*broken, EventKind::end_of_fibre), std::vector<double>{903});
  EXPECT_EQ(places(*broken, EventKind::loss), (std::vector<double>{700, 1440}));
  EXPECT_NE(broken->words.find("903.0 m from A and 549.0 m from B"), std::string::npos) << broken->words;
}

TEST(BrokenFibre, FromOneEndOnlyWhereTheMeterSawNoLight) {
  const HeldTrace b = ending(Direction::b_to_a, 549, 12);
  EXPECT_FALSE(broken_fibre(nullptr, &b, {1450}, MeterLight::unknown).has_value());
  const auto broken = broken_fibre(nullptr, &b, {1450}, MeterLight::dark);
  ASSERT_TRUE(broken.has_value());
  EXPECT_FALSE(broken->from_a.has_value());
  EXPECT_EQ(places(*broken, EventKind::end_of_fibre), std::vector<double>{901});
  EXPECT_EQ(broken->seen.length, Metres{1450});
}

TEST(BrokenFibre, TwoPlacesWhereTheDistancesDoNotMakeTheLength) {
  const HeldTrace a = ending(Direction::a_to_b, 400, 100);
  const HeldTrace b = ending(Direction::b_to_a, 549, 12);
  EXPECT_FALSE(broken_fibre(&a, &b, {1450}, MeterLight::unknown).has_value());
  const auto broken = broken_fibre(&a, &b, {1450}, MeterLight::dark);
  ASSERT_TRUE(broken.has_value());
  EXPECT_EQ(places(*broken, EventKind::end_of_fibre), (std::vector<double>{400, 901}));
}

// A schedule that counts the way there and back would have every strand broken in its middle.
TEST(BrokenFibre, WhereLightCameThroughTheScheduleIsWrong) {
  const HeldTrace a = ending(Direction::a_to_b, 420, 100);
  const HeldTrace b = ending(Direction::b_to_a, 420, 12);
  EXPECT_TRUE(broken_fibre(&a, &b, {840}, MeterLight::unknown).has_value());
  EXPECT_FALSE(broken_fibre(&a, &b, {840}, MeterLight::through).has_value());
}

TEST(BrokenFibre, AWholeFibreIsNotBroken) {
  const HeldTrace a = ending(Direction::a_to_b, 1440, 700);
  EXPECT_FALSE(broken_fibre(&a, nullptr, {1450}, MeterLight::dark).has_value()) << "it ends at the far panel";
  HeldTrace behind = ending(Direction::a_to_b, 903, 700);
  behind.seen.ends.reset();  // a receive cord is seen behind it
  EXPECT_FALSE(broken_fibre(&behind, nullptr, {1450}, MeterLight::dark).has_value());
  HeldTrace in_noise = ending(Direction::a_to_b, 903, 700);
  in_noise.end = EndState::beyond_noise;
  EXPECT_FALSE(broken_fibre(&in_noise, nullptr, {1450}, MeterLight::dark).has_value());
}

}  // namespace
}  // namespace strandbook
