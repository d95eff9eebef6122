#include "workflow/compare_recordings.hpp"

#include <algorithm>

#include "edge/exchange/json_members.hpp"
#include "workflow/recorded_job.hpp"

namespace strandbook {
namespace {

void append_side(std::string& out, const RecordedTest& test) {
  JsonMembers members(out);
  members.quantity("loss_db", test.loss);
  members.number("uncertainty_db", test.uncertainty.value);
  members.quantity("limit_db", test.limit);
  members.text("outcome", text_of(test.outcome));
  members.maybe_text("reference", test.reference);
  members.maybe_text("time", test.time);
  members.end();
}

void append_pair(std::string& out, const ComparedJobs& work, std::uint32_t at) {
  const TestPair& pair = work.comparison.pairs[at];
  JsonMembers members(out);
  append_test_name(members, work.before.tests[pair.before]);
  members.name("before");
  append_side(out, work.before.tests[pair.before]);
  members.name("after");
  append_side(out, work.after.tests[pair.after]);
  const bool compared = pair.group != not_there;
  if (compared) {
    members.number("change_db", pair.change.value);
    members.number("uncertainty_db", pair.uncertainty.value);
    members.number("apart_db", pair.apart.value);
    members.number("apart_uncertainty_db", pair.apart_uncertainty.value);
    members.number("adjusted_chance", pair.adjusted);
    members.truth("changed", pair.changed);
  }
  members.end();
}

void append_alone(std::string& out, const RecordedTest& test) {
  JsonMembers members(out);
  append_test_name(members, test);
  members.text("outcome", text_of(test.outcome));
  members.end();
}

void append_names(std::string& out, const std::vector<std::string>& names) {
  append_json_list(out, names, [&](const std::string& name) { append_json_text(out, name); });
}

}  // namespace

void append_test_name(JsonMembers& members, const RecordedTest& test) {
  members.text("link", test.link);
  members.text("strand", test.strand);
  members.number("wavelength_nm", test.wavelength.value);
  members.choice("direction", test.direction);
}

void append_moves(std::string& out, const std::vector<SharedMove>& moves) {
  append_json_list(out, moves, [&](const SharedMove& move) {
    JsonMembers members(out);
    members.maybe_text("reference_before", move.reference_before);
    members.maybe_text("reference_after", move.reference_after);
    members.number("wavelength_nm", move.wavelength.value);
    members.count("tests", move.tests);
    members.number("move_db", move.move.value);
    members.number("uncertainty_db", move.uncertainty.value);
    members.truth("taken_off", move.settled);
    members.truth("beyond_uncertainty", move.beyond);
    members.end();
  });
}

Result<ComparedJobs> compare_recordings(const std::string& before, const std::string& after,
                                        const ComparisonSettings& settings) {
  Result<RecordedJob> old = recorded_job(before);
  if (!old) return old.problem();
  Result<RecordedJob> now = recorded_job(after);
  if (!now) return now.problem();
  return compare_recorded(std::move(*old), std::move(*now), settings);
}

Result<ComparedJobs> compare_recorded(RecordedJob before, RecordedJob after,
                                      const ComparisonSettings& settings) {
  ComparedJobs work{std::move(before), std::move(after), {}, settings};
  work.comparison = compare_jobs(work.before, work.after, settings);
  if (work.comparison.pairs.empty())
    return Problem{{work.after.source, {}, 0, {}},
                   "no test that " + work.before.source + " has too",
                   "two recordings of the same links and strands",
                   "See that links and strands are named alike in both."};
  return work;
}

bool all_as_before(const ComparedJobs& work) {
  const Comparison& all = work.comparison;
  const bool outcome_worse = std::any_of(all.outcomes.begin(), all.outcomes.end(), [&](std::uint32_t at) {
    const Outcome old = work.before.tests[all.pairs[at].before].outcome;
    const Outcome now = work.after.tests[all.pairs[at].after].outcome;
    return worse(old, now) == now;
  });
  const bool moved =
      std::any_of(all.moves.begin(), all.moves.end(), [](const SharedMove& move) { return move.beyond; });
  return all.changed.empty() && !moved && !outcome_worse && all.gone_strands.empty();
}

std::string comparison_json(const ComparedJobs& work) {
  const Comparison& all = work.comparison;
  std::string out;
  JsonMembers members(out);
  members.number("format", 1);
  members.text("before", work.before.source);
  members.text("after", work.after.source);
  members.number("false_alarm_rate", work.settings.false_alarm_rate);
  members.name("summary");
  JsonMembers summary(out);
  summary.count("in_both", all.pairs.size());
  summary.count("compared", all.compared);
  summary.count("changed", all.changed.size());
  summary.count("outcomes_changed", all.outcomes.size());
  summary.count("only_before", all.only_before.size());
  summary.count("only_after", all.only_after.size());
  summary.end();
  members.name("moves");
  append_moves(out, all.moves);
  members.name("changed");
  append_json_list(out, all.changed, [&](std::uint32_t at) { append_pair(out, work, at); });
  members.name("outcomes");
  append_json_list(out, all.outcomes, [&](std::uint32_t at) { append_pair(out, work, at); });
  members.name("gone_strands");
  append_names(out, all.gone_strands);
  members.name("new_strands");
  append_names(out, all.new_strands);
  members.name("only_before");
  append_json_list(out, all.only_before, [&](std::uint32_t at) { append_alone(out, work.before.tests[at]); });
  members.name("only_after");
  append_json_list(out, all.only_after, [&](std::uint32_t at) { append_alone(out, work.after.tests[at]); });
  members.end();
  return out;
}

}  // namespace strandbook
