#include "domain/verdict/live_judgement.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "domain/verdict/judge_test_ground.hpp"

namespace strandbook {
namespace {

const char* const names[] = {"A", "B", "C", "D", "Q"};  // Q is not in the schedule

Rulebook rulebook() { return {owner_rule(DirectionDemand::both)}; }

Schedule schedule() {
  Schedule rows;
  for (const char* name : {"A", "B", "C", "D"}) {
    ScheduledStrand row;
    row.strand = name;
    row.fibre = FibreCategory::om4;
    row.length = Metres{100};
    row.connections = 2;
    row.splices = 0;
    rows.push_back(row);
  }
  rows[3].doubt = "length \"1OO\"";
  return rows;
}

Reference reference_at(std::int64_t second, double nm, double dbm, ReferenceKind kind) {
  Reference row;
  row.wavelength = {nm};
  row.power = {dbm};
  row.kind = kind;
  row.method = ReferenceMethod::one_cord;
  row.time = Instant{second, true, true, false};
  return row;
}

JudgeSettings settings_for(const Rulebook& rules) {
  JudgeSettings settings;
  settings.references = {{0.10}, 24 * hour};
  settings.gain_allowance = {0.05};
  settings.plan.rule = &rules.front();
  settings.plan.method = ReferenceMethod::one_cord;
  return settings;
}

Reading reading_of(int name, double nm, ReadingKind kind, double value, std::int64_t second) {
  Reading row;
  row.strand = names[name];
  row.wavelength = {nm};
  row.kind = kind;
  row.value = value;
  row.direction = Direction::a_to_b;
  row.time = Instant{second, true, true, false};
  row.has_time = true;
  return row;
}

Reading any_reading() {
  const auto kind =
      *rc::gen::element(ReadingKind::power, ReadingKind::power, ReadingKind::loss, ReadingKind::no_light);
  // Levels around a reference of -20 dBm: some of them would be gains.
  const double value =
      *rc::gen::inRange(kind == ReadingKind::power ? -230 : -10, kind == ReadingKind::power ? -195 : 30) /
      10.0;
  Reading row = reading_of(*rc::gen::inRange(0, 5), *rc::gen::element(850.0, 1300.0, 1550.0), kind, value,
                           *rc::gen::inRange(0, 30) * hour);
  row.direction = *rc::gen::element(std::optional<Direction>{}, std::optional{Direction::a_to_b},
                                    std::optional{Direction::b_to_a});
  return row;
}

/// One strand crossed, and one dark for a while.
std::vector<LightPath> light_paths() {
  return {{names[0], names[1], {}, {}, {}}, {names[2], "", Instant{10 * hour, true, true, false}, {}, {}}};
}

/// The rows by themselves, to judge them at once.
struct Rows {
  std::vector<Reference> references;
  std::vector<Reading> readings;
  JobInput input() const {
    JobInput input{schedule(), references, {}};
    input.readings.rows = readings;
    input.records.light_paths = light_paths();
    return input;
  }
};

auto seen(const Assessment& all) {
  std::vector<std::tuple<std::uint32_t, double, std::optional<Direction>, Outcome, Reason, std::uint32_t,
                         std::uint32_t, double, double, double>>
      rows;
  for (const JudgedTest& test : all.tests)
    rows.emplace_back(test.strand, test.wavelength.value, test.direction, test.outcome, test.reason,
                      test.reading, test.other_readings, test.has_loss ? test.loss.value : 0,
                      test.standard_uncertainty.value,
                      test.limit == nothing ? -1 : all.limits[test.limit].value.value);
  return rows;
}

std::vector<std::uint32_t> unmatched(const Assessment& all) {
  std::vector<std::uint32_t> rows;
  for (const UnmatchedReading& row : all.unmatched) rows.push_back(row.reading);
  return rows;
}

void step(LiveJudgement& live, Rows& rows) {
  const auto some = [](std::size_t size) {
    return static_cast<std::uint32_t>(*rc::gen::inRange<std::size_t>(0, size));
  };
  switch (*rc::gen::inRange(0, 8)) {
    case 0:
      if (rows.readings.empty()) return;
      {
        const std::uint32_t at = some(rows.readings.size());
        rows.readings.erase(rows.readings.begin() + at);
        RC_ASSERT(live.erase_reading(at));
      }
      return;
    case 1:
      if (rows.readings.empty()) return;
      {
        const std::uint32_t at = some(rows.readings.size());
        rows.readings[at] = any_reading();
        RC_ASSERT(live.replace(at, rows.readings[at]));
      }
      return;
    case 2:
      rows.references.push_back(
          reference_at(*rc::gen::inRange(0, 30) * hour, *rc::gen::element(850.0, 1300.0),
                       *rc::gen::inRange(-205, -195) / 10.0,
                       *rc::gen::element(ReferenceKind::opening, ReferenceKind::closing_check)));
      RC_ASSERT(live.add(rows.references.back()));
      return;
    case 3:
      if (rows.references.empty()) return;
      {
        const std::uint32_t at = some(rows.references.size());
        rows.references.erase(rows.references.begin() + at);
        RC_ASSERT(live.erase_reference(at));
      }
      return;
    default:
      rows.readings.push_back(any_reading());
      RC_ASSERT(live.add(rows.readings.back()));
  }
}

RC_GTEST_PROP(LiveJudgement, AnyRunOfChangesEndsWhereJudgingAtOnceDoes, ()) {
  const Rulebook rules = rulebook();
  Rows rows;
  rows.references.push_back(reference_at(0, 850, -20, ReferenceKind::opening));
  auto live = LiveJudgement::begin(rows.input(), rules, settings_for(rules));
  RC_ASSERT(live);
  const int steps = *rc::gen::inRange(1, 25);
  for (int i = 0; i < steps; ++i) step(**live, rows);
  const auto at_once = judge(rows.input(), rules, settings_for(rules));
  RC_ASSERT(at_once);
  RC_ASSERT(seen((*live)->all()) == seen(*at_once));
  RC_ASSERT(unmatched((*live)->all()) == unmatched(*at_once));
  RC_ASSERT((*live)->all().summary.by_outcome == at_once->summary.by_outcome);
}

struct Session {
  Rulebook rules = rulebook();
  std::unique_ptr<LiveJudgement> live;
  Session() {
    Rows rows;
    rows.references.push_back(reference_at(0, 850, -20, ReferenceKind::opening));
    live = std::move(*LiveJudgement::begin(rows.input(), rules, settings_for(rules)));
  }
};

TEST(LiveJudgement, AReadingJudgesItsOwnStrandOnly) {
  Session session;
  const auto change = session.live->add(reading_of(1, 850, ReadingKind::power, -21.3, hour));
  ASSERT_TRUE(change);
  EXPECT_FALSE(change->whole);
  EXPECT_EQ(change->strands, std::vector<std::uint32_t>{1});
  EXPECT_EQ(session.live->tests_of(1).front().outcome, Outcome::pass);  // 1.3 dB of 1.8 dB
  EXPECT_EQ(session.live->all().summary.count(Outcome::pass), 1u);
}

TEST(LiveJudgement, APreviewKeepsNothing) {
  Session session;
  const auto test = session.live->preview(reading_of(1, 850, ReadingKind::power, -22.5, hour));
  ASSERT_TRUE(test);
  EXPECT_EQ(test->outcome, Outcome::fail);
  EXPECT_NEAR(session.live->all().limits[test->limit].value.value, 1.8, 1e-9);
  EXPECT_TRUE(session.live->all().readings.rows.empty());
  EXPECT_EQ(session.live->all().summary.count(Outcome::fail), 0u);
}

// A worse value typed after a good one must not hide behind it.
TEST(LiveJudgement, APreviewShowsTheTypedValueItself) {
  Session session;
  ASSERT_TRUE(session.live->add(reading_of(1, 850, ReadingKind::power, -20.4, hour)));
  const auto gain = session.live->preview(reading_of(1, 850, ReadingKind::power, -19, 2 * hour));
  ASSERT_TRUE(gain);
  EXPECT_EQ(gain->reason, Reason::impossible_value);
}

TEST(LiveJudgement, APreviewOfAnUnplannedWavelengthIsRefused) {
  Session session;
  EXPECT_FALSE(session.live->preview(reading_of(1, 1550, ReadingKind::loss, 0.3, hour)));
  EXPECT_FALSE(session.live->preview(reading_of(4, 850, ReadingKind::loss, 0.3, hour)));
}

TEST(LiveJudgement, UnderADisprovedReferenceAPreviewIsInvalid) {
  Session session;
  for (int strand = 0; strand < 3; ++strand)
    ASSERT_TRUE(session.live->add(reading_of(strand, 850, ReadingKind::power, -19, hour)));
  const auto test = session.live->preview(reading_of(0, 850, ReadingKind::power, -20.5, 2 * hour));
  ASSERT_TRUE(test);
  EXPECT_EQ(test->reason, Reason::reference_disproved);
}

}  // namespace
}  // namespace strandbook
