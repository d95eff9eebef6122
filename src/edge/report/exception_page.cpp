#include "edge/report/exception_page.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "edge/report/legible.hpp"
#include "edge/report/limit_working.hpp"
#include "edge/report/outcome_mark.hpp"
#include "edge/report/table.hpp"
#include "edge/report/words.hpp"

namespace strandbook {
namespace {

std::string test_label(const JudgedTest& test, const Wording& words) {
  return fmt::format("{} nm {}", words.plain(test.wavelength.value), words.say(arrow_of(test.direction)));
}

/// Tests that no bar can be drawn of: their outcome and why.
void tests_without_bar(const ReportPass& pass, std::span<const std::uint32_t> tests) {
  Table table(pass.flow, {{"test", 1.2}, {"outcome", 1.2}, {"why", 5}});
  bool headed = false;
  for (const std::uint32_t index : tests) {
    const JudgedTest& test = pass.view.all.tests[index];
    if (margin_of(pass.view.all, test)) continue;
    if (!std::exchange(headed, true)) table.head();
    const std::string why = test.limit_problem < pass.view.all.limit_problems.size()
                                ? sentence_of(pass.view.all.limit_problems[test.limit_problem], pass.words)
                                : pass.words.say(sentence_of(test.reason));
    table.wrapped_row({{test_label(test, pass.words)},
                       {pass.words.say(text_of(test.outcome)), Ink::ink, test.outcome},
                       {why}});
    table.rule();
  }
}

/// The working of the limit with the least margin.
void tightest_working(const ReportPass& pass, std::span<const std::uint32_t> tests) {
  const Assessment& all = pass.view.all;
  const JudgedTest* tightest = nullptr;
  for (const std::uint32_t index : tests) {
    const JudgedTest& test = all.tests[index];
    if (limit_behind(all, test) == nullptr || !margin_of(all, test)) continue;
    if (tightest == nullptr || *margin_of(all, test) < *margin_of(all, *tightest)) tightest = &test;
  }
  if (tightest == nullptr) return;
  pass.flow.heading(fmt::format("Working of the limit at {}", test_label(*tightest, pass.words)));
  write_limit_working(pass, *limit_behind(all, *tightest), 0);
}

/// Without the folders that a file lay in: they fill the column and tell nothing on paper.
Place short_place(Place at) {
  at.file.erase(0, at.file.rfind('/') + 1);
  return at;
}

bool counts(const ReportPass& pass, std::span<const std::uint32_t> tests, std::uint32_t reading) {
  return std::any_of(tests.begin(), tests.end(),
                     [&](std::uint32_t test) { return pass.view.all.tests[test].reading == reading; });
}

void history(const ReportPass& pass, std::span<const std::uint32_t> tests,
             const std::vector<std::uint32_t>& readings) {
  pass.flow.heading("Readings, in the order they were recorded");
  if (readings.empty()) return pass.flow.paragraph("No reading was taken.");
  Table table(pass.flow, {{"time", 2.2},
                          {"\u03BB, nm", 0.8, Align::right},
                          {"direction", 0.9},
                          {"value", 1.2, Align::right},
                          {"reference", 1.1},
                          {"meter", 1.3},
                          {"operator", 1},
                          {"place", 2.6},
                          {"", 0.9}});
  table.head();
  const ReadingSet& all = pass.view.all.readings;
  for (const std::uint32_t index : readings) {
    const Reading& reading = all.rows[index];
    const bool used = counts(pass, tests, index);
    table.wrapped_row({{reading.has_time ? pass.words.moment(reading.time) : "\u2014"},
                       {reading.wavelength.value > 0 ? pass.words.plain(reading.wavelength.value) : "\u2014"},
                       {pass.words.say(arrow_of(reading.direction))},
                       {value_text(reading, pass.words)},
                       {std::string(reading.reference)},
                       {std::string(reading.meter)},
                       {std::string(reading.operator_name)},
                       {pass.words.say(describe(short_place(all.place_of(reading)))), Ink::grey},
                       {pass.words.say(used ? "counts" : "kept"), used ? Ink::ink : Ink::grey}});
    table.rule();
  }
}

void next_steps(const ReportPass& pass, std::span<const std::uint32_t> tests) {
  std::vector<std::string_view> said;
  for (const std::uint32_t index : tests) {
    const JudgedTest& test = pass.view.all.tests[index];
    const std::string_view step = next_step_of({test.outcome, test.reason, test.limit_problem, {}});
    if (test.outcome == Outcome::pass || step.empty() ||
        std::find(said.begin(), said.end(), step) != said.end())
      continue;
    said.push_back(step);
    pass.flow.paragraph(step);
  }
}

void findings_and_step(const ReportPass& pass, std::span<const std::uint32_t> tests,
                       const std::vector<std::uint32_t>& findings) {
  pass.flow.heading("Findings and next step");
  for (const std::uint32_t index : findings) {
    const Finding& each = pass.view.job.findings[index];
    pass.flow.paragraph(each.id + ": " + pass.words.say(each.summary));
    if (!each.advice.empty()) pass.flow.paragraph(each.advice);
    if (!each.caution.empty()) pass.flow.paragraph(each.caution, note_style, Ink::accent);
  }
  if (findings.empty()) next_steps(pass, tests);
}

}  // namespace

StrandRecords records_of(const ReportedJob& view, const std::vector<std::uint32_t>& strands) {
  StrandRecords records;
  records.readings.resize(view.all.schedule.size());
  records.findings.resize(view.all.schedule.size());
  std::vector<bool> wanted(view.all.schedule.size());
  for (const std::uint32_t strand : strands) wanted[strand] = true;
  for (std::uint32_t i = 0; i < view.all.strand_of.size(); ++i) {
    const std::uint32_t strand = view.all.strand_of[i];
    if (strand < wanted.size() && wanted[strand]) records.readings[strand].push_back(i);
  }
  for (std::uint32_t i = 0; i < view.job.findings.size(); ++i) {
    for (const std::uint32_t test : view.job.findings[i].tests) {
      if (test >= view.all.tests.size()) continue;
      auto& listed = records.findings[view.all.tests[test].strand];
      if (listed.empty() || listed.back() != i) listed.push_back(i);
    }
  }
  return records;
}

void write_exception_details(const ReportPass& pass, std::uint32_t strand,
                             std::span<const std::uint32_t> tests, const StrandRecords& records) {
  tests_without_bar(pass, tests);
  tightest_working(pass, tests);
  history(pass, tests, records.readings[strand]);
  findings_and_step(pass, tests, records.findings[strand]);
}

}  // namespace strandbook
