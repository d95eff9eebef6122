#include "domain/applications/array_map.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "domain/applications/array_check.hpp"

namespace strandbook {
namespace {

int far_of(char type, int near, int positions) {
  if (type == 'A') return near;
  if (type == 'B') return positions + 1 - near;
  return near % 2 == 1 ? near + 1 : near - 1;
}

ArrayType type_of(ArrayPart part, char name, int fibres) {
  ArrayType type{part, std::string(1, name), fibres, fibres == 8 ? 12 : fibres, {}, {}};
  for (int near = 1; near <= type.positions; ++near)
    if (fibres != 8 || near <= 4 || near >= 9) type.map[near] = far_of(name, near, type.positions);
  return type;
}

const ArrayMaps& maps() {
  static const ArrayMaps all = [] {
    ArrayMaps made;
    for (const int fibres : {8, 12, 16, 24}) {
      for (const char name : {'A', 'B', 'C'}) made.types.push_back(type_of(ArrayPart::array, name, fibres));
      for (const char name : {'A', 'B'}) made.types.push_back(type_of(ArrayPart::adapter, name, fibres));
    }
    using enum ArrayPart;
    made.methods = {{"B", {{adapter, "B"}, {array, "B"}, {adapter, "B"}}, "cords", "", {}},
                    {"U1", {{adapter, "A"}, {array, "B"}, {adapter, "A"}}, "cords", "port order", {}}};
    return made;
  }();
  return all;
}

const LaneMap& map_of(char name, int fibres) {
  for (const ArrayType& type : maps().types)
    if (type.fibres == fibres && type.name[0] == name) return type.map;
  static const LaneMap none;
  return none;
}

TracedLanes traced(const LaneMap& map) {
  TracedLanes lanes;
  for (const auto& [near, far] : map) lanes.push_back({near, far});
  return lanes;
}

MapJudgement judged(const TracedLanes& lanes, int fibres, const std::string& type) {
  std::optional<WantedMap> wanted;
  if (!type.empty()) wanted = *wanted_map(maps(), type, fibres);
  auto result = judge_map(lanes, fibres, wanted, maps());
  EXPECT_TRUE(result);
  return *result;
}

std::string words(const MapJudgement& map) {
  std::string all;
  for (const std::string& each : map.reasons) all += (all.empty() ? "" : " ") + each;
  return all;
}

// SOURCE: by hand. An array of the wrong type passes its loss and is wrong all the same.
TEST(ArrayMap, TheTypeIsRecognisedAndComparedWithTheOneWanted) {
  for (const int fibres : {8, 12, 16, 24})
    for (const char found : {'A', 'B', 'C'})
      for (const char wanted : {'A', 'B', 'C'}) {
        const MapJudgement map = judged(traced(map_of(found, fibres)), fibres, std::string(1, wanted));
        EXPECT_EQ(map.outcome, found == wanted ? Outcome::pass : Outcome::fail);
        EXPECT_EQ(map.recognised, std::string("type ") + found);
        EXPECT_TRUE(map.deviations.empty());
      }
}

// SOURCE: by hand: type B wants 4 → 9 and 5 → 8.
TEST(ArrayMap, TwoExchangedPositionsAreNamed) {
  LaneMap found = map_of('B', 12);
  std::swap(found[4], found[5]);
  const MapJudgement map = judged(traced(found), 12, "B");
  EXPECT_EQ(map.outcome, Outcome::fail);
  EXPECT_EQ(map.recognised, "");
  ASSERT_EQ(map.deviations.size(), 2u);
  EXPECT_EQ(map.deviations[0].near, 4);
  EXPECT_EQ(map.deviations[0].far, 8);
  EXPECT_EQ(map.deviations[0].wanted, 9);
  EXPECT_NE(words(map).find("near 4 and 5 exchanged, compared with type B"), std::string::npos) << words(map);
}

TEST(ArrayMap, DeviationsAreCountedFromTheNearestType) {
  LaneMap found = map_of('A', 24);
  std::swap(found[20], found[24]);
  const MapJudgement map = judged(traced(found), 24, "B");
  EXPECT_EQ(map.outcome, Outcome::fail);
  EXPECT_EQ(map.compared, "type A");
  EXPECT_EQ(map.deviations.size(), 2u);
  EXPECT_NE(words(map).find("It comes nearest to type A, wanted was type B."), std::string::npos)
      << words(map);
}

TEST(ArrayMap, RingsOfThreeAndLonePositions) {
  EXPECT_EQ(describe(std::vector<Deviation>{{1, 2, 1}, {2, 3, 2}, {3, 1, 3}}),
            (std::vector<std::string>{"near 1 to 3 on one another's places"}));
  EXPECT_EQ(describe(std::vector<Deviation>{{7, 9, 6}}),
            (std::vector<std::string>{"near 7 ends at 9 instead of 6"}));
  EXPECT_EQ(listed({2, 5, 6}), "2, 5 and 6");
}

TEST(ArrayMap, MissingAndDarkPositionsAreNotTested) {
  TracedLanes lanes = traced(map_of('B', 12));
  lanes.erase(lanes.begin() + 4);
  lanes[8].far.reset();
  const MapJudgement map = judged(lanes, 12, "B");
  EXPECT_EQ(map.outcome, Outcome::not_tested);
  EXPECT_EQ(map.missing, std::vector<int>{5});
  EXPECT_EQ(map.dark, std::vector<int>{10});
  lanes[0].far = 8;  // but what is proven wrong fails
  EXPECT_EQ(judged(lanes, 12, "B").outcome, Outcome::fail);
  EXPECT_EQ(judged({}, 12, "B").outcome, Outcome::not_tested);
  EXPECT_EQ(judged(traced(map_of('B', 12)), 12, "").outcome, Outcome::not_tested);
}

TEST(ArrayMap, ARecordThatContradictsItselfIsInvalid) {
  TracedLanes lanes = traced(map_of('B', 12));
  lanes[2].far = 12;  // near 1 is there already
  const MapJudgement twice = judged(lanes, 12, "B");
  EXPECT_EQ(twice.outcome, Outcome::invalid);
  EXPECT_NE(words(twice).find("Near 1 and near 3 were both traced to far 12"), std::string::npos);
  lanes = traced(map_of('A', 12));
  lanes[11] = {13, 12};
  EXPECT_EQ(judged(lanes, fibres_of(lanes, maps()), "A").outcome, Outcome::invalid);
  lanes = traced(map_of('A', 12));
  lanes.push_back({1, 5});
  EXPECT_EQ(judged(lanes, 12, "A").outcome, Outcome::invalid);
  EXPECT_EQ(judged(traced(map_of('A', 12)), 8, "A").outcome, Outcome::invalid);  // 5 to 8 show light
}

TEST(ArrayMap, TheNumberOfFibresIsSeenFromTheTrace) {
  for (const int fibres : {12, 16, 24}) EXPECT_EQ(fibres_of(traced(map_of('B', fibres)), maps()), fibres);
  EXPECT_EQ(fibres_of(traced(map_of('B', 8)), maps()), 12);
  EXPECT_FALSE(judge_map({}, 10, std::nullopt, maps()));
}

TEST(ArrayMap, ChannelsAreComposed) {
  EXPECT_EQ(wanted_map(maps(), "method b", 12)->map, map_of('B', 12));
  EXPECT_EQ(wanted_map(maps(), "U1", 8)->map, map_of('B', 8));
  EXPECT_EQ(wanted_map(maps(), "U1", 8)->not_known, "port order");
  EXPECT_EQ(wanted_map(maps(), "adapter A + type C + adapter B", 12)->map.at(1), 11);
  EXPECT_EQ(wanted_map(maps(), "trunk B + B", 12)->map, map_of('A', 12));
  for (const char* wrong : {"D", "method D", "adapter C", "", "B +"})
    EXPECT_FALSE(wanted_map(maps(), wrong, 12)) << wrong;
  EXPECT_TRUE(composed({}).empty());
}

RC_GTEST_PROP(ArrayMap, EveryTypeUndoesItself, ()) {
  const auto& type = *rc::gen::elementOf(maps().types);
  RC_ASSERT(composed({type.map, type.map}) == composed({type.map, type.map, type.map, type.map}));
  for (const auto& [near, far] : composed({type.map, type.map})) RC_ASSERT(near == far);
}

// Any exchange of two positions is found with exactly these two.
RC_GTEST_PROP(ArrayMap, AnyExchangeIsNamed, ()) {
  const int one = *rc::gen::inRange(1, 13);
  const int other = *rc::gen::inRange(1, 13);
  RC_PRE(one != other);
  LaneMap found = map_of('B', 12);
  std::swap(found[one], found[other]);
  const MapJudgement map = judged(traced(found), 12, "B");
  RC_ASSERT(map.outcome == Outcome::fail);
  RC_ASSERT(map.deviations.size() == 2u);
}

TEST(ArrayCheck, TheWorstDecidesAndNothingIsLeftOut) {
  ArrayRecords records;
  records.plan_given = records.losses_given = true;
  records.wanted = {{"T1", "B", {}}, {"T2", "B", {}}, {"T3", "A", {}}};
  records.traced = {{"t 1", {}, traced(map_of('B', 12))},
                    {"T2", {}, traced(map_of('B', 12))},
                    {"T9", {}, traced(map_of('A', 12))}};
  const auto value = [](double loss) { return LaneValue{0, "", Decibels{loss}, Decibels{0.75}, {}, false}; };
  records.measured = {{"T1", {value(0.32)}}, {"T2", {value(0.80)}}, {"T9", {value(0.1)}}};
  const auto check = judge_arrays(records, {}, maps());
  ASSERT_TRUE(check);
  ASSERT_EQ(check->arrays.size(), 4u);
  EXPECT_EQ(check->arrays[0].outcome, Outcome::pass);
  EXPECT_EQ(check->arrays[1].map.outcome, Outcome::pass);
  EXPECT_EQ(check->arrays[1].outcome, Outcome::fail);
  EXPECT_EQ(check->arrays[2].outcome, Outcome::not_tested);
  EXPECT_EQ(check->arrays[3].outcome, Outcome::not_tested);  // nobody planned it
}

}  // namespace
}  // namespace strandbook
