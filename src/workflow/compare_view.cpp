#include "workflow/compare_view.hpp"

#include <algorithm>
#include <fstream>

#include "edge/exchange/json_members.hpp"
#include "edge/exchange/recorded_file.hpp"
#include "workflow/recorded_job.hpp"

namespace strandbook {
namespace {

std::optional<Decibels> margin_of(const RecordedTest& test) {
  if (!test.loss || !test.limit) return std::nullopt;
  return Decibels{test.limit->value - test.loss->value};
}

bool is_choosable(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  std::string begin(64, '\0');
  file.read(begin.data(), static_cast<std::streamsize>(begin.size()));
  begin.resize(static_cast<std::size_t>(file.gcount()));
  return begin.starts_with("PK\x03\x04") || looks_like_recorded(begin);
}

void append_side_of(JsonMembers& members, std::string& out, const char* name, const RecordedTest& test) {
  members.name(name);
  JsonMembers side(out);
  side.quantity("loss_db", test.loss);
  side.quantity("margin_db", margin_of(test));
  side.text("outcome", text_of(test.outcome));
  side.end();
}

void append_row(std::string& out, const ComparedJobs& work, std::uint32_t at) {
  const TestPair& pair = work.comparison.pairs[at];
  const RecordedTest& old = work.before.tests[pair.before];
  JsonMembers members(out);
  append_test_name(members, old);
  append_side_of(members, out, "before", old);
  append_side_of(members, out, "after", work.after.tests[pair.after]);
  if (pair.group != not_there) {
    members.number("change_db", pair.apart.value);
    members.number("expanded_uncertainty_db", 2 * pair.apart_uncertainty.value);
    members.number("adjusted_chance", pair.adjusted);
  }
  members.end();
}

void append_rows(std::string& out, const ComparedJobs& work, std::vector<std::uint32_t> rows,
                 std::size_t most) {
  if (rows.size() > most) rows.resize(most);
  append_json_list(out, rows, [&](std::uint32_t at) { append_row(out, work, at); });
}

void append_strands(std::string& out, std::vector<std::string> names, std::size_t most) {
  if (names.size() > most) names.resize(most);
  append_json_list(out, names, [&](const std::string& name) { append_json_text(out, name); });
}

/// The margins that the pictures of all rows have to hold, and 0, which is the limit.
void append_span(JsonMembers& members, const ComparedJobs& work) {
  double least = 0;
  double most = 0;
  for (const std::uint32_t at : work.comparison.changed) {
    const TestPair& pair = work.comparison.pairs[at];
    for (const auto& margin :
         {margin_of(work.before.tests[pair.before]), margin_of(work.after.tests[pair.after])}) {
      if (!margin) continue;
      least = std::min(least, margin->value);
      most = std::max(most, margin->value);
    }
  }
  members.number("least_margin_db", least);
  members.number("most_margin_db", most);
}

}  // namespace

Result<ComparedJobs> compare_with_file(const OpenBook& book, const std::string& path, const std::string& name,
                                       const Progress& progress) {
  if (!is_choosable(path))
    return Problem{{name, {}, 0, {}},
                   "a file that is neither a package nor the JSON of assess",
                   "a package (.zip) as the handover makes it, or the assessment.json in it",
                   "Choose another file. Two books are compared by: strandbook compare BEFORE AFTER"};
  Result<RecordedJob> before = recorded_job(path);
  if (!before) {
    Problem problem = before.problem();
    problem.at.file = name;
    return problem;
  }
  before->source = name;
  const Result<JudgedWork> work = judge_book(book, {}, progress);
  if (!work) return work.problem();
  RecordedJob after = recorded_of(work->job.assessment);
  after.name = work->job.name;
  after.source = after.name;
  return compare_recorded(std::move(*before), std::move(after), {});
}

std::string comparison_view_json(const ComparedJobs& work, std::size_t most) {
  const Comparison& all = work.comparison;
  std::vector<std::uint32_t> surest = all.changed;
  std::stable_sort(surest.begin(), surest.end(), [&](std::uint32_t a, std::uint32_t b) {
    return all.pairs[a].adjusted < all.pairs[b].adjusted;
  });
  std::string out;
  JsonMembers members(out);
  members.text("before", work.before.source);
  members.text("after", work.after.source);
  members.number("false_alarm_rate", work.settings.false_alarm_rate);
  members.count("in_both", all.pairs.size());
  members.count("compared", all.compared);
  members.count("changed_total", all.changed.size());
  members.count("outcomes_total", all.outcomes.size());
  members.count("gone_total", all.gone_strands.size());
  members.count("new_total", all.new_strands.size());
  append_span(members, work);
  members.name("changed");
  append_rows(out, work, std::move(surest), most);
  members.name("outcomes");
  append_rows(out, work, all.outcomes, most);
  members.name("moves");
  append_moves(out, all.moves);
  members.name("gone_strands");
  append_strands(out, all.gone_strands, most);
  members.name("new_strands");
  append_strands(out, all.new_strands, most);
  members.end();
  return out;
}

}  // namespace strandbook
