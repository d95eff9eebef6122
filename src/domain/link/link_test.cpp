#include "domain/link/link.hpp"

#include <gtest/gtest.h>

#include "domain/link/instant.hpp"

namespace strandbook {
namespace {

TEST(Link, WordsReadBackWhatTheyWrite) {
  for (const auto c : {FibreCategory::om1, FibreCategory::om5, FibreCategory::os1a, FibreCategory::os2,
                       FibreCategory::multimode_unstated, FibreCategory::single_mode_unstated})
    EXPECT_EQ(parse_fibre_category(text_of(c)), c);
  for (const auto p : {Plant::unstated, Plant::inside, Plant::indoor_outdoor, Plant::outside})
    EXPECT_EQ(parse_plant(text_of(p)), p);
  for (const auto m : {ReferenceMethod::one_cord, ReferenceMethod::two_cord, ReferenceMethod::three_cord})
    EXPECT_EQ(parse_reference_method(text_of(m)), m);
  for (const auto d : {Direction::a_to_b, Direction::b_to_a}) EXPECT_EQ(parse_direction(text_of(d)), d);
}

TEST(Link, SpellingsOfTheTrade) {
  EXPECT_EQ(parse_direction("A → B"), Direction::a_to_b);
  EXPECT_EQ(parse_direction("b-a"), Direction::b_to_a);
  EXPECT_EQ(parse_reference_method("One cord"), ReferenceMethod::one_cord);
  EXPECT_EQ(parse_fibre_category("om-4"), FibreCategory::om4);
  EXPECT_EQ(parse_fibre_category("OM6"), std::nullopt);
}

// The letter of a document means different methods in different documents: it is never understood.
TEST(Link, ALetterIsNoReferenceMethod) {
  EXPECT_EQ(parse_reference_method("Method B"), std::nullopt);
  EXPECT_EQ(parse_reference_method("A.1"), std::nullopt);
}

TEST(Instant, SaysOnlyWhatIsKnown) {
  EXPECT_EQ(iso_text({1775394720, true, true, true}), "2026-04-05T13:12:00Z");
  EXPECT_EQ(iso_text({1775394720, true, true, false}), "2026-04-05T13:12:00");
  EXPECT_EQ(iso_text({1775347200, true, false, false}), "2026-04-05");
  EXPECT_EQ(iso_text({28680, false, true, false}), "07:58:00");
  EXPECT_EQ(iso_text({-1, true, true, false}), "1969-12-31T23:59:59");
}

TEST(Instant, ATimeOfDayCannotBeHeldAgainstADate) {
  EXPECT_EQ(seconds_between({60, false, true, false}, {120, false, true, false}), 60);
  EXPECT_EQ(seconds_between({60, false, true, false}, {1775394720, true, true, true}), std::nullopt);
}

}  // namespace
}  // namespace strandbook
