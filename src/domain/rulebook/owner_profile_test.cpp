#include "domain/rulebook/owner_profile.hpp"

#include <gtest/gtest.h>

namespace strandbook {
namespace {

Sourced<Decibels> decibels(double value, const char* from) { return {{value}, {from, "", "", {}, ""}}; }

// SOURCE: published owners' limits. Joint-build exhibit: field splice two-way 0.10 dB at 1550 nm, after three
// attempts 0.20 dB and listed; pigtail 0.5 dB, 0.8 dB mismatched. City fibre agreement: two-way 0.20 dB at
// 1550, 0.25 dB at 1310 nm; pigtail splice one way 0.20 dB while building.
std::vector<SpliceDemand> joint_build() {
  SpliceDemand field;
  field.wavelength = Nanometres{1550};
  field.measure = SpliceMeasure::two_way_mean;
  field.limit = decibels(0.10, "field");
  field.relaxed = RelaxedSplice{3, decibels(0.20, "field"), "listed as out of specification"};
  SpliceDemand pigtail;
  pigtail.joint = SpliceJoint::connector_with_splice;
  pigtail.wavelength = Nanometres{1550};
  pigtail.limit = decibels(0.5, "pigtail");
  pigtail.mismatched = decibels(0.8, "pigtail");
  return {field, pigtail};
}

SpliceQuestion field_splice(double nanometres, int attempts) {
  SpliceQuestion question;
  question.wavelength = {nanometres};
  question.attempts = attempts;
  return question;
}

TEST(SpliceLimit, ALaserOffTheNamedWavelengthCountsForIt) {
  EXPECT_EQ(demanded_wavelength(joint_build(), {1543.7}), Nanometres{1550});
  EXPECT_EQ(demanded_wavelength(joint_build(), {1310}), Nanometres{1310});
  EXPECT_EQ(demanded_wavelength({}, {1562}), Nanometres{1562});
}

TEST(SpliceLimit, IsRelaxedOnlyAfterTheAttempts) {
  for (const int attempts : {1, 2}) {
    const auto limit = splice_limit(joint_build(), field_splice(1550, attempts));
    ASSERT_TRUE(limit);
    EXPECT_EQ(limit->limit.value, Decibels{0.10});
    EXPECT_FALSE(limit->relaxed);
  }
  for (const int attempts : {3, 4}) {
    const auto limit = splice_limit(joint_build(), field_splice(1550, attempts));
    ASSERT_TRUE(limit && limit->relaxed);
    EXPECT_EQ(limit->limit.value, Decibels{0.10});
    EXPECT_EQ(limit->relaxed->limit.value, Decibels{0.20});
    EXPECT_EQ(limit->relaxed->consequence, "listed as out of specification");
  }
}

TEST(SpliceLimit, OfTheTwoWayMeanSaysNothingOfOneSide) {
  SpliceQuestion question = field_splice(1550, 1);
  question.measure = SpliceMeasure::one_way;
  EXPECT_FALSE(splice_limit(joint_build(), question));
  EXPECT_FALSE(splice_limit(joint_build(), field_splice(1310, 1)));
  question = field_splice(1550, 1);
  question.count = SpliceCount::span_mean;
  EXPECT_FALSE(splice_limit(joint_build(), question));
}

TEST(SpliceLimit, HasItsOwnForFibresThatDiffer) {
  SpliceQuestion question = field_splice(1550, 1);
  question.joint = SpliceJoint::connector_with_splice;
  EXPECT_EQ(splice_limit(joint_build(), question)->limit.value, Decibels{0.5});
  question.fields = ModeFields::mismatched;
  EXPECT_EQ(splice_limit(joint_build(), question)->limit.value, Decibels{0.8});
  // Where the owner has none for them, the limit holds for every splice.
  question.joint = SpliceJoint::splice;
  EXPECT_EQ(splice_limit(joint_build(), question)->limit.value, Decibels{0.10});
}

TEST(SpliceLimit, IsThatOfTheDemandThatNamesMost) {
  SpliceDemand any;
  any.limit = decibels(0.3, "any");
  SpliceDemand at_1310 = any;
  at_1310.wavelength = Nanometres{1310};
  at_1310.limit = decibels(0.25, "1310");
  SpliceDemand building = at_1310;
  building.stage = BuildStage::while_building;
  building.limit = decibels(0.2, "building");
  const std::vector<SpliceDemand> demands = {any, at_1310, building};
  EXPECT_EQ(splice_limit(demands, field_splice(1550, 1))->limit.source.document, "any");
  EXPECT_EQ(splice_limit(demands, field_splice(1310, 1))->limit.source.document, "1310");
  SpliceQuestion early = field_splice(1310, 1);
  early.stage = BuildStage::while_building;
  EXPECT_EQ(splice_limit(demands, early)->limit.source.document, "building");
  EXPECT_FALSE(splice_limit({}, early));
}

TEST(OwnerProfile, WithoutADecisionRuleTakesPassAndConditionalPass) {
  const DecisionRule decision = decision_of({});
  EXPECT_EQ(decision.guard, GuardBand::none);
  EXPECT_EQ(decision.conditional_pass, Acceptance::accepted);
  EXPECT_EQ(decision.conditional_fail, Acceptance::refused);
}

TEST(OwnerProfile, SaysWhetherAFieldIsWanted) {
  OwnerProfile profile;
  profile.records.push_back({RecordField::reel_number, {"tender", "", "3", {}, ""}});
  ASSERT_NE(record_wanted(profile, RecordField::reel_number), nullptr);
  EXPECT_EQ(record_wanted(profile, RecordField::reel_number)->clause, "3");
  EXPECT_EQ(record_wanted(profile, RecordField::temperature), nullptr);
}

TEST(RecordField, EachHasATextOfItsOwn) {
  const auto fields = every_record_field();
  EXPECT_EQ(fields.size(), record_field_count);
  for (std::size_t i = 0; i < fields.size(); ++i)
    for (std::size_t k = i + 1; k < fields.size(); ++k) EXPECT_NE(text_of(fields[i]), text_of(fields[k]));
  EXPECT_EQ(text_of(RecordField::limit), "limit with its sum");
  EXPECT_EQ(text_of(RecordField::trace_plot), "trace plot");
  EXPECT_EQ(text_of(RecordField::original_file), "original file with checksum");
}

}  // namespace
}  // namespace strandbook
