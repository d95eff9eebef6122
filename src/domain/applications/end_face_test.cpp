#include "domain/applications/end_face.hpp"

#include <gtest/gtest.h>

namespace strandbook {
namespace {

using enum EndFaceZone;
using enum FaceMark;

Micrometres um(double value) { return {value}; }

// A table of the test: no scratch in A; in B any defect below 2 µm, five of 2 to 5 µm, none above.
EndFaceLimits limits() {
  EndFaceLimits all;
  all.limits = {
      {EndFaceKind::single_mode, core, scratch, {{std::nullopt, true, 0}}, {}},
      {EndFaceKind::single_mode,
       cladding,
       defect,
       {{um(2), false, std::nullopt}, {um(5), true, 5}, {std::nullopt, true, 0}},
       {}},
      {EndFaceKind::single_mode, adhesive, defect, {{std::nullopt, true, std::nullopt}}, {}},
  };
  return all;
}

InspectedFace face(std::vector<SeenMark> marks, std::optional<EndFaceKind> kind = EndFaceKind::single_mode) {
  return {"L1", "L1 end A", kind, true, std::move(marks), {}};
}
Outcome outcome(const InspectedFace& seen) { return judge_face(seen, limits(), {}).outcome; }

TEST(EndFace, CountsAreKeptBySizeAtTheEdgesOfTheBands) {
  EXPECT_EQ(outcome(face({})), Outcome::pass);
  EXPECT_EQ(outcome(face({{scratch, core, um(0.1), 1, {}}})), Outcome::fail);
  EXPECT_EQ(outcome(face({{defect, cladding, um(1.99), 40, {}}})), Outcome::pass);
  EXPECT_EQ(outcome(face({{defect, cladding, um(2), 5, {}}})), Outcome::pass);
  EXPECT_EQ(outcome(face({{defect, cladding, um(2), 5, {}}, {defect, cladding, um(5), 1, {}}})),
            Outcome::fail);
  EXPECT_EQ(outcome(face({{defect, cladding, um(5.01), 1, {}}})), Outcome::fail);
  EXPECT_EQ(outcome(face({{defect, adhesive, um(80), 9, {}}})), Outcome::pass);
}

TEST(EndFace, TheReasonNamesZoneFoundAndAllowed) {
  const FaceJudgement judged = judge_face(face({{defect, cladding, um(3), 6, {}}}), limits(), {});
  EXPECT_EQ(judged.reasons.at(0), "Zone B (cladding): 6 defects of 2 to 5 µm, allowed 5.");
  EXPECT_EQ(words_of_band(limits().limits[1].bands, 0), "below 2 µm");
  EXPECT_EQ(words_of_band(limits().limits[1].bands, 2), "above 5 µm");
  EXPECT_EQ(words_of_band(limits().limits[0].bands, 0), "of any size");
}

TEST(EndFace, ASitesOwnLimitIsJudgedBesideTheTable) {
  EXPECT_EQ(outcome(face({{defect, adhesive, um(12), 1, um(10)}})), Outcome::fail);
  EXPECT_EQ(outcome(face({{defect, adhesive, um(10), 1, um(10)}})), Outcome::pass);
  const std::vector<OwnZoneLimit> own = {{cladding, um(1)}};
  EXPECT_EQ(judge_face(face({{defect, cladding, um(1.5), 1, {}}}), limits(), own).outcome, Outcome::fail);
  EXPECT_EQ(judge_face(face({{defect, cladding, um(5.5), 1, um(9)}}), limits(), {}).outcome, Outcome::fail);
}

TEST(EndFace, WithoutAKindOnlyOwnLimitsSpeak) {
  EXPECT_EQ(outcome(face({{defect, cladding, um(31), 1, um(10)}}, {})), Outcome::fail);
  EXPECT_EQ(outcome(face({{defect, cladding, um(3), 1, um(10)}}, {})), Outcome::pass);
  EXPECT_EQ(outcome(face({{defect, cladding, um(3), 1, {}}}, {})), Outcome::invalid);
}

TEST(EndFace, WhatNobodyLookedAtOrOnlyPartOfWasReadDoesNotPass) {
  InspectedFace seen = face({});
  seen.inspected = false;
  EXPECT_EQ(outcome(seen), Outcome::not_tested);
  seen = face({});
  seen.unread = {"Row 7 could not be read."};
  EXPECT_EQ(outcome(seen), Outcome::invalid);
  seen.marks = {{scratch, core, um(1), 1, {}}};
  EXPECT_EQ(outcome(seen), Outcome::fail);
}

TEST(EndFace, KindsByTheirNames) {
  EXPECT_EQ(parse_end_face_kind("single-mode-apc"), EndFaceKind::single_mode_apc);
  EXPECT_FALSE(parse_end_face_kind("plastic"));
}

}  // namespace
}  // namespace strandbook
