#include "domain/units/units.hpp"

#include <gtest/gtest.h>

namespace strandbook {
namespace {

template <class A, class B>
concept Addable = requires(A a, B b) {
  a + b;
};
template <class A, class B>
concept Subtractable = requires(A a, B b) {
  a - b;
};
template <class A, class B>
concept Multipliable = requires(A a, B b) {
  a* b;
};
template <class A, class B>
concept Comparable = requires(A a, B b) {
  a < b;
};

// Nonsense does not compile.
static_assert(!Addable<PowerDbm, PowerDbm>);
static_assert(!Addable<Decibels, PowerDbm>);
static_assert(!Subtractable<Decibels, PowerDbm>);
static_assert(!Addable<Decibels, Metres>);
static_assert(!Addable<Nanometres, Metres>);
static_assert(!Multipliable<Decibels, Metres>);
static_assert(!Multipliable<PowerDbm, DecibelsPerKilometre>);
static_assert(!Comparable<Decibels, PowerDbm>);
static_assert(!Comparable<Milliwatts, PowerDbm>);
static_assert(!std::is_convertible_v<double, Decibels>);
static_assert(!std::is_convertible_v<Decibels, double>);
static_assert(Addable<PowerDbm, Decibels>);
static_assert(std::is_same_v<decltype(PowerDbm{} - PowerDbm{}), Decibels>);
static_assert(std::is_same_v<decltype(DecibelsPerKilometre{} * Metres{}), Decibels>);

TEST(Units, AtTheLimitIsWithinItHoweverBinaryRoundsIt) {
  const Decibels loss = PowerDbm{-20.10} - PowerDbm{-21.95};
  EXPECT_TRUE(at_most(loss, Decibels{1.85}));
  EXPECT_TRUE(at_most(Decibels{0.1 + 0.2}, Decibels{0.3}));
  EXPECT_FALSE(at_most(Decibels{1.8500001}, Decibels{1.85}));
}

// SOURCE: definition of the decibel, IEC 60027-3; 1 mW is 0 dBm by definition, halving is 3.0103 dB.
TEST(Units, LevelsAndPowers) {
  EXPECT_NEAR(to_dbm(Milliwatts{1}).value, 0, 1e-12);
  EXPECT_NEAR(to_dbm(Milliwatts{0.5}).value, -3.0102999566, 1e-9);
  EXPECT_NEAR(to_milliwatts(PowerDbm{-23.19}).value, 0.0047973, 1e-7);
}

TEST(Units, FibreLossIsCoefficientTimesLength) {
  EXPECT_NEAR((DecibelsPerKilometre{3.5} * Metres{100}).value, 0.35, 1e-12);
  EXPECT_NEAR(from_feet(410).value, 124.968, 1e-9);
}

}  // namespace
}  // namespace strandbook
