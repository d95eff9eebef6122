#include "domain/verdict/live_judgement.hpp"

#include <algorithm>

namespace strandbook {
namespace {

std::vector<std::uint32_t> first_tests(const Assessment& all) {
  std::vector<std::uint32_t> first(all.schedule.size() + 1, 0);
  for (const JudgedTest& test : all.tests) ++first[test.strand + 1];
  for (std::size_t i = 1; i < first.size(); ++i) first[i] += first[i - 1];
  return first;
}

std::vector<bool> disproved_references(const Assessment& all) {
  std::vector<bool> disproved(all.references.size(), false);
  for (const JudgedTest& test : all.tests)
    if (test.reason == Reason::reference_disproved) disproved[test.reference] = true;
  return disproved;
}

}  // namespace

Result<std::unique_ptr<LiveJudgement>> LiveJudgement::begin(JobInput input, const Rulebook& rulebook,
                                                            JudgeSettings settings) {
  std::unique_ptr<LiveJudgement> live(new LiveJudgement(rulebook, std::move(settings)));
  const Result<Done> done = live->judge_all(std::move(input));
  if (!done) return done.problem();
  return live;
}

std::span<const JudgedTest> LiveJudgement::tests_of(std::uint32_t strand) const {
  return std::span(all_.tests).subspan(first_test_[strand], first_test_[strand + 1] - first_test_[strand]);
}

Result<Done> LiveJudgement::judge_all(JobInput input) {
  judge_.reset();
  index_.reset();
  Result<Assessment> judged = strandbook::judge(std::move(input), rulebook_, settings_);
  if (!judged) return judged.problem();
  all_ = std::move(*judged);
  first_test_ = first_tests(all_);
  disproved_ = disproved_references(all_);
  groups_ = group_by_strand(all_.strand_of, all_.schedule.size());
  changed_groups_.clear();
  index_.emplace(all_.schedule);
  finder_.emplace(all_.references, settings_.references);
  context_ = std::make_unique<JudgeContext>(JudgeContext{all_.schedule, all_.references, all_.readings.rows,
                                                         rulebook_, settings_, *finder_,
                                                         all_.records.light_paths, all_.continuity});
  judge_ = std::make_unique<StrandJudge>(*context_);
  limits_before_ = static_cast<std::uint32_t>(all_.limits.size());
  problems_before_ = static_cast<std::uint32_t>(all_.limit_problems.size());
  return Done{};
}

Result<JudgementChange> LiveJudgement::judge_again() {
  const Result<Done> done =
      judge_all({std::move(all_.schedule), std::move(all_.references), std::move(all_.readings),
                 std::move(all_.records), std::move(all_.traces)});
  if (!done) return done.problem();
  return JudgementChange{{}, true};
}

void LiveJudgement::keep_texts(Reading& reading) {
  // One buffer for all texts of a reading: typed readings are few beside imported ones.
  std::string texts;
  std::string_view* const views[] = {&reading.link,  &reading.strand, &reading.reference,    &reading.source,
                                     &reading.meter, &reading.cords,  &reading.operator_name};
  for (const std::string_view* view : views) texts += *view;
  std::string_view rest = all_.readings.keep_text(std::move(texts));
  for (std::string_view* view : views) {
    *view = rest.substr(0, view->size());
    rest.remove_prefix(view->size());
  }
}

std::vector<std::uint32_t>& LiveJudgement::readings_of(std::uint32_t strand) {
  const auto [at, fresh] = changed_groups_.try_emplace(strand);
  if (fresh)
    at->second.assign(groups_.order.begin() + groups_.starts[strand],
                      groups_.order.begin() + groups_.starts[strand + 1]);
  return at->second;
}

void LiveJudgement::gather_limits() {
  for (std::size_t i = all_.limits.size() - limits_before_; i < judge_->limits.size(); ++i)
    all_.limits.push_back(judge_->limits[i]);
  for (std::size_t i = all_.limit_problems.size() - problems_before_; i < judge_->limit_problems.size(); ++i)
    all_.limit_problems.push_back(judge_->limit_problems[i]);
}

Result<std::vector<JudgedTest>> LiveJudgement::tests_with(std::uint32_t strand,
                                                          std::span<const std::uint32_t> readings) {
  judge_->tests.clear();
  judge_->unmatched.clear();
  const Result<Done> done = judge_->judge(strand, readings);
  if (!done) return done.problem();
  gather_limits();
  for (JudgedTest& test : judge_->tests) {
    if (test.limit != nothing) test.limit += limits_before_;
    if (test.limit_problem != nothing) test.limit_problem += problems_before_;
  }
  return judge_->tests;
}

/// Whether a reference is disproved shows only in all its readings together.
bool LiveJudgement::needs_the_batch(std::span<const JudgedTest> tests) const {
  return std::any_of(tests.begin(), tests.end(), [this](const JudgedTest& test) {
    return test.reason == Reason::impossible_value ||
           (test.reference < disproved_.size() && disproved_[test.reference]);
  });
}

void LiveJudgement::put(std::uint32_t strand, const std::vector<JudgedTest>& tests) {
  auto& counts = all_.summary.by_outcome;
  for (const JudgedTest& old : tests_of(strand)) --counts[static_cast<std::size_t>(old.outcome)];
  for (const JudgedTest& test : tests) ++counts[static_cast<std::size_t>(test.outcome)];
  std::copy(tests.begin(), tests.end(), all_.tests.begin() + first_test_[strand]);
}

Result<JudgementChange> LiveJudgement::judge_strand(std::uint32_t strand) {
  const Result<std::vector<JudgedTest>> tests = tests_with(strand, readings_of(strand));
  if (!tests) return tests.problem();
  const std::span<const JudgedTest> before = tests_of(strand);
  if (tests->size() != before.size() || needs_the_batch(before) || needs_the_batch(*tests))
    return judge_again();
  std::erase_if(all_.unmatched,
                [&](const UnmatchedReading& row) { return all_.strand_of[row.reading] == strand; });
  for (UnmatchedReading& row : judge_->unmatched) all_.unmatched.push_back(std::move(row));
  std::sort(all_.unmatched.begin(), all_.unmatched.end(),
            [](const auto& a, const auto& b) { return a.reading < b.reading; });
  put(strand, *tests);
  return JudgementChange{{strand}, false};
}

Result<JudgementChange> LiveJudgement::add(const Reading& reading) {
  Reading kept = reading;
  keep_texts(kept);
  const auto row = static_cast<std::uint32_t>(all_.readings.rows.size());
  const std::uint32_t strand = find(reading.link, reading.strand);
  all_.readings.rows.push_back(kept);
  if (strand == no_strand) return judge_again();
  all_.strand_of.push_back(strand);
  readings_of(strand).push_back(row);
  return judge_strand(strand);
}

Result<JudgementChange> LiveJudgement::replace(std::uint32_t row, const Reading& reading) {
  Reading kept = reading;
  keep_texts(kept);
  all_.readings.rows[row] = kept;
  const std::uint32_t strand = find(reading.link, reading.strand);
  if (strand == no_strand || strand != all_.strand_of[row]) return judge_again();
  return judge_strand(strand);
}

Result<JudgementChange> LiveJudgement::erase_reading(std::uint32_t row) {
  const bool last = row + 1 == all_.readings.rows.size();
  const std::uint32_t strand = all_.strand_of[row];
  all_.readings.rows.erase(all_.readings.rows.begin() + row);
  if (!last || strand == no_strand) return judge_again();
  all_.strand_of.pop_back();
  std::erase_if(all_.unmatched, [row](const UnmatchedReading& each) { return each.reading == row; });
  std::erase(readings_of(strand), row);
  return judge_strand(strand);
}

Result<JudgementChange> LiveJudgement::add(Reference reference) {
  all_.references.push_back(std::move(reference));
  return judge_again();
}

Result<JudgementChange> LiveJudgement::replace(std::uint32_t row, Reference reference) {
  all_.references[row] = std::move(reference);
  return judge_again();
}

Result<JudgementChange> LiveJudgement::erase_reference(std::uint32_t row) {
  all_.references.erase(all_.references.begin() + row);
  return judge_again();
}

Result<JudgedTest> LiveJudgement::preview(Reading reading) {
  const std::uint32_t strand = find(reading.link, reading.strand);
  if (strand == no_strand)
    return Problem{{},
                   "strand " + std::string(reading.link) + "/" + std::string(reading.strand),
                   "a strand of the schedule",
                   "See how the schedule writes it."};
  const auto row = static_cast<std::uint32_t>(all_.readings.rows.size());
  all_.readings.rows.push_back(reading);
  const Result<std::vector<JudgedTest>> tests = tests_with(strand, std::span(&row, 1));
  all_.readings.rows.pop_back();
  if (!tests) return tests.problem();
  const auto test = std::find_if(tests->begin(), tests->end(),
                                 [row](const JudgedTest& each) { return each.reading == row; });
  if (test == tests->end())
    return Problem{{},
                   judge_->unmatched.front().why,
                   "a test that is due on this strand",
                   "Choose the wavelength and direction that the schedule asks for."};
  JudgedTest judged = *test;
  if (judged.has_loss && judged.reference < disproved_.size() && disproved_[judged.reference]) {
    judged.outcome = Outcome::invalid;
    judged.reason = Reason::reference_disproved;
    judged.conformance = 0;
  }
  return judged;
}

}  // namespace strandbook
