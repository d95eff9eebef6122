#include "edge/exchange/end_face_file.hpp"

#include <gtest/gtest.h>

#include "edge/exchange/file_bytes.hpp"

namespace strandbook {
namespace {

using enum EndFaceKind;
using enum EndFaceZone;
using enum FaceMark;

const std::string shipped_end_faces_path = STRANDBOOK_ROOT "/rules/iec-61300-3-35-2015/end-face.json";

Outcome outcome(EndFaceKind kind, std::vector<SeenMark> marks) {
  static const auto limits = read_end_face_limits(shipped_end_faces_path);
  EXPECT_TRUE(limits) << (limits ? "" : describe(limits.problem()));
  return judge_face({"L", "F", kind, true, std::move(marks), {}}, *limits, {}).outcome;
}

// SOURCE: IEC 61300-3-35:2015, table of visual requirements as seen in a secondary text; each row at its
// edge.
TEST(EndFaceFile, ShippedLimitsAtTheirEdges) {
  const struct {
    EndFaceKind kind;
    EndFaceZone zone;
    FaceMark mark;
    double size;
    int most;  // −1: any number
  } rows[] = {{single_mode, core, scratch, 1, 0},
              {single_mode, cladding, scratch, 3, -1},
              {single_mode, cladding, scratch, 3.1, 0},
              {single_mode, adhesive, scratch, 50, -1},
              {single_mode, core, defect, 1, 0},
              {single_mode, cladding, defect, 1.9, -1},
              {single_mode, cladding, defect, 5, 5},
              {single_mode, cladding, defect, 5.1, 0},
              {single_mode, contact, defect, 10, -1},
              {single_mode, contact, defect, 10.1, 0},
              {single_mode_apc, core, scratch, 3, 4},
              {single_mode_apc, core, scratch, 3.1, 0},
              {single_mode_apc, cladding, scratch, 9, -1},
              {single_mode_apc, cladding, defect, 2, 5},
              {multimode, core, scratch, 3, -1},
              {multimode, core, scratch, 3.1, 0},
              {multimode, cladding, scratch, 5, -1},
              {multimode, cladding, scratch, 5.1, 0},
              {multimode, core, defect, 5, 4},
              {multimode, core, defect, 5.1, 0},
              {multimode, cladding, defect, 4.9, -1},
              {multimode, cladding, defect, 10, 5},
              {multimode, cladding, defect, 10.1, 0},
              {multimode, contact, defect, 19.9, -1},
              {multimode, contact, defect, 30, 5},
              {multimode, contact, defect, 30.1, 0}};
  for (const auto& row : rows) {
    const auto seen = [&](int count) {
      return outcome(row.kind, {{row.mark, row.zone, {row.size}, count, {}}});
    };
    const std::string what(text_of(row.kind));
    EXPECT_EQ(seen(row.most < 0    ? 1000
                   : row.most == 0 ? 1
                                   : row.most),
              row.most == 0 ? Outcome::fail : Outcome::pass)
        << what << " " << text_of(row.zone) << " " << row.size;
    EXPECT_TRUE(row.most <= 0 || seen(row.most + 1) == Outcome::fail) << what << " " << row.size;
  }
}

TEST(EndFaceFile, ZonesFollowOneAnother) {
  const auto limits = read_end_face_limits(shipped_end_faces_path);
  ASSERT_TRUE(limits);
  ASSERT_EQ(limits->rings.size(), 8u);
  for (std::size_t i = 1; i < 8; ++i)
    EXPECT_TRUE(i == 4 || limits->rings[i].inner == limits->rings[i - 1].outer);
}

TEST(EndFaceFile, WhatIsWrongIsNamed) {
  const std::pair<std::string, std::string> wrong[] = {
      {"\"bands\": [{\"allowed\": 0}]", "\"bands\": []"},
      {"{\"up_to_um\": 3}, {\"allowed\": 0}", "{\"up_to_um\": 3}"},
      {"{\"up_to_um\": 5, \"allowed\": 5}", "{\"up_to_um\": 1, \"allowed\": 5}"},
      {"\"up_to_um\": 3", "\"up_to_um\": 3, \"below_um\": 3"},
      {"\"up_to_um\": 3", "\"up_to_mm\": 3"},
      {"\"allowed\": 0", "\"allowed\": -1"},
      {"\"kind\": \"single-mode\", \"zone\": \"B\"", "\"kind\": \"single-mode\", \"zone\": \"A\""},
      {"\"zone\": \"D\"", "\"zone\": \"E\""},
      {"\"outer_um\": 25", "\"outer_um\": 0"},
      {"\"standing\": \"seen in extract\"", "\"standing\": \"certain\""}};
  for (const auto& [from, to] : wrong) {
    std::string text = *read_file_bytes(shipped_end_faces_path);
    ASSERT_NE(text.find(from), std::string::npos) << from;
    text.replace(text.find(from), from.size(), to);
    const auto limits = read_end_face_limits_text(text, "mine.json");
    ASSERT_FALSE(limits) << to;
    EXPECT_GT(limits.problem().at.row, 0u) << to;
  }
  EXPECT_FALSE(read_end_face_limits("/nowhere.json"));
}

}  // namespace
}  // namespace strandbook
