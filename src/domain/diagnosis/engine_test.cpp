#include "domain/diagnosis/engine.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <tuple>

#include "domain/diagnosis/diagnosis_test_ground.hpp"
#include "domain/verdict/live_judgement.hpp"

namespace strandbook {
namespace {

void expect_same_findings(const std::vector<Finding>& one, const std::vector<Finding>& other) {
  RC_ASSERT(one.size() == other.size());
  for (std::size_t i = 0; i < one.size(); ++i) {
    RC_ASSERT(std::tie(one[i].id, one[i].kind, one[i].about, one[i].summary, one[i].tests, one[i].chance) ==
              std::tie(other[i].id, other[i].kind, other[i].about, other[i].summary, other[i].tests,
                       other[i].chance));
    RC_ASSERT(one[i].evidence == other[i].evidence);
  }
}

/// A job whose readings are spoilt at a drawn place, so that there is something to find.
JobInput drawn_job() {
  const auto spoilt = *rc::gen::inRange<std::size_t>(0, 12);
  const auto how = *rc::gen::inRange(0, 5);
  const TypedLink link{FibreCategory::os2, 2000, 12, {1310, 1550}, true};
  JobInput input = typed_job(link, [&](std::size_t strand, std::size_t column) {
    double loss = (column < 2 ? 0.68 : 0.40) + 0.3 + steady_noise(strand * 3 + column);
    if (how == 1 && strand == spoilt && column >= 2) loss += 0.9;
    if (how == 2 && strand == spoilt) loss = -0.4;
    if (how == 3) loss += 1.0;
    if (how == 4 && column == 0) loss = 0.91;
    return loss;
  });
  for (std::size_t i = 0; i < input.readings.rows.size(); ++i) {
    input.readings.rows[i].has_time = true;
    input.readings.rows[i].time.seconds = 1000 + static_cast<std::int64_t>(i) * 20;
    input.readings.rows[i].meter = i % 7 == 3 ? "M-2" : "M-1";
  }
  const Instant day{0, true, false, false};
  if (how != 0)
    input.records.calibrations.push_back({"M-1", "", "", day, day_of(day, how == 1 ? 0 : -1), {}});
  if (how == 2) input.records.light_paths = {{"01", "02", {}, {}, {}}, {"03", "", {}, {}, {}}};
  return input;
}

RC_GTEST_PROP(FindingEngine, OneByOneItComesToTheSameAsAllAtOnce, ()) {
  const Rulebook rulebook{diagnosis_rule()};
  JobInput whole = drawn_job();
  const std::vector<Reading> rows = whole.readings.rows;
  const auto kept = *rc::gen::inRange<std::size_t>(0, rows.size());
  JobInput begun;
  begun.schedule = whole.schedule;
  begun.readings = std::move(whole.readings);
  begun.records = whole.records;
  begun.readings.rows.resize(kept);
  const JudgeSettings settings = judge_settings_for_findings(rulebook);
  auto live = LiveJudgement::begin(std::move(begun), rulebook, settings);
  RC_ASSERT(bool(live));
  FindingEngine engine(finding_settings_for_tests());
  engine.examine((*live)->all());
  for (std::size_t i = kept; i < rows.size(); ++i) {
    const Result<JudgementChange> change = (*live)->add(rows[i]);
    RC_ASSERT(bool(change));
    if (change->whole)
      engine.examine((*live)->all());
    else
      engine.examine((*live)->all(), change->strands);
  }
  expect_same_findings(engine.findings(), find_causes((*live)->all(), finding_settings_for_tests()));
}

TEST(FindingEngine, ManyBlocksOnTwoThreadsAreAsOne) {
  const Rulebook rulebook{diagnosis_rule()};
  const TypedLink link{FibreCategory::os2, 2000, 4000, {1310, 1550}, true};
  JobInput input = typed_job(link, [](std::size_t strand, std::size_t column) {
    return (column < 2 ? 0.68 : 0.40) + 0.3 + steady_noise(strand * 3 + column) + (strand % 977 == 5 ? 2 : 0);
  });
  for (std::size_t i = 0; i < input.schedule.size(); ++i)
    input.schedule[i].link = "K" + std::to_string(i / 48);
  for (Reading& each : input.readings.rows) {
    const std::size_t strand = std::stoul(std::string(each.strand)) - 1;
    each.link = input.readings.keep_text(input.schedule[strand].link);
  }
  const auto all = judge(std::move(input), rulebook, judge_settings_for_findings(rulebook));
  ASSERT_TRUE(all);
  FindingSettings one = finding_settings_for_tests();
  one.workers = 1;
  FindingSettings two = one;
  two.workers = 2;
  const auto first = find_causes(*all, one);
  const auto second = find_causes(*all, two);
  ASSERT_FALSE(first.empty());
  ASSERT_EQ(first.size(), second.size());
  for (std::size_t i = 0; i < first.size(); ++i) EXPECT_EQ(first[i].summary, second[i].summary);
}

}  // namespace
}  // namespace strandbook
