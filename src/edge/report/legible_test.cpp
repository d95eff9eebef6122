#include "edge/report/legible.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "edge/report/budget_bar.hpp"
#include "edge/report/strand_colour.hpp"
#include "edge/report/typesetter.hpp"

namespace strandbook {
namespace {

TEST(Legible, NumbersHaveATrueMinusAndNoNegativeZero) {
  EXPECT_EQ(decimal_text(-0.31, 2), "\u22120.31");
  EXPECT_EQ(decimal_text(-0.001, 2), "0.00");
  EXPECT_EQ(decimal_text(std::nan(""), 2), "\u2014");
  EXPECT_EQ(signed_text(0.031, 2), "+0.03");
  EXPECT_EQ(signed_text(0.001, 2), "0.00");
  EXPECT_EQ(probability_text(0.99996), ">0.9999");
  EXPECT_EQ(probability_text(0.5), "0.5000");
  EXPECT_EQ(count_text(2880), "2880");
  EXPECT_EQ(count_text(40000), "40\u2009000");
  EXPECT_EQ(counted(1, "test"), "1 test");
}

// SOURCE: 1 ft = 0.3048 m exactly (International yard and pound agreement, 1959).
TEST(Legible, LengthsInFeetAndMetres) {
  EXPECT_EQ(length_text({304.8}, LengthUnit::feet), "1000 ft");
  EXPECT_EQ(length_text({84.5}, LengthUnit::metres), "84.5 m");
}

// SOURCE: ill-formed sequences of The Unicode Standard, section 3.9: overlong, surrogate, cut off.
TEST(Legible, BrokenBytesBecomeReplacementsAndControlsBlanks) {
  EXPECT_EQ(legible("a\x01"
                    "b\tc"),
            "a b c");
  EXPECT_EQ(legible("\xC0\x80"), "\uFFFD\uFFFD");
  EXPECT_EQ(legible("\xED\xA0\x80"), "\uFFFD\uFFFD\uFFFD");
  EXPECT_EQ(legible("x\xE2\x82"), "x\uFFFD\uFFFD");
  EXPECT_EQ(legible("\u202Eabc"), " abc");
  EXPECT_EQ(legible("Κτίριο 機房 مبنى"), "Κτίριο 機房 مبنى");
}

RC_GTEST_PROP(Legible, AnyBytesComeOutAsValidText, (const std::string& bytes)) {
  const std::string text = legible(bytes);
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t length = character_length(text, at);
    RC_ASSERT(length > 0u);
    at += length;
  }
  RC_ASSERT(legible(text) == text);
}

TEST(StrandColour, FollowsTheNumberANameEndsIn) {
  EXPECT_EQ(colour_name(*colour_position("01")), "blue");
  EXPECT_EQ(colour_name(*colour_position("F-012")), "aqua");
  EXPECT_EQ(colour_name(*colour_position("BB-01/13")), "blue, tracer");
  EXPECT_FALSE(colour_position("25"));
  EXPECT_FALSE(colour_position("0"));
  EXPECT_FALSE(colour_position("A"));
  EXPECT_FALSE(colour_position(""));
  EXPECT_FALSE(colour_position("99999999999999999999"));
}

TEST(BudgetBar, TicksAreOneTwoOrFive) {
  EXPECT_DOUBLE_EQ(axis_step(1.9), 0.5);
  EXPECT_DOUBLE_EQ(axis_step(0.8), 0.1);
  EXPECT_DOUBLE_EQ(axis_step(12), 2);
}

class TypesetterIn : public testing::TestWithParam<Face> {
 protected:
  const TextStyle style_{GetParam(), 8};
  const std::string whole_ = "An identifier that somebody wrote out in full 機房 مبنى";
  Typesetter typesetter_;
};

TEST_P(TypesetterIn, LongTextsAreElided) {
  const std::string cut = typesetter_.elided(style_, whole_, 60);
  EXPECT_LE(typesetter_.width(style_, cut), 60.01);
  EXPECT_TRUE(cut.ends_with("\u2026"));
  EXPECT_EQ(typesetter_.elided(style_, "01", 60), "01");
}

TEST_P(TypesetterIn, LongTextsAreWrapped) {
  for (const std::string& line : typesetter_.wrapped(style_, whole_ + std::string(500, 'w'), 60))
    EXPECT_LE(typesetter_.width(style_, line), 60.01) << line;
  EXPECT_EQ(typesetter_.wrapped(style_, "", 60).size(), 1u);
}

INSTANTIATE_TEST_SUITE_P(Faces, TypesetterIn, testing::Values(Face::sans, Face::serif));

TEST(Typesetter, AMillionLettersCostNoMinute) {
  Typesetter typesetter;
  EXPECT_LE(typesetter.elided({Face::sans, 8}, std::string(1'000'000, 'm'), 60).size(), 40u);
}

}  // namespace
}  // namespace strandbook
