#include "front/cli/summary.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "domain/plan/strand_index.hpp"
#include "edge/report/legible.hpp"
#include "front/cli/terminal.hpp"

namespace strandbook {
namespace {

constexpr std::size_t exceptions_shown = 15;
constexpr std::size_t rows_shown = 8;
constexpr Outcome order[] = {Outcome::fail,       Outcome::conditional_fail, Outcome::invalid,
                             Outcome::not_tested, Outcome::conditional_pass, Outcome::pass};

void print_rules(const JudgedJob& job) {
  const Assessment& all = job.assessment;
  std::string rules;
  for (const RuleSet* rule : all.rules) rules += (rules.empty() ? "" : ", ") + rule->id;
  if (rules.empty()) rules = "the limits stated for the job";
  fmt::print("{}\n", heading(job.name.empty() ? "Assessment" : job.name));
  fmt::print("{}\n\n", wrapped(fmt::format("Rule: {}. Decision: {}.", rules,
                                           all.guard == GuardBand::none
                                               ? "simple acceptance, no guard band"
                                               : "guard band U (k = 2) on both sides of the limit"),
                               0));
}

/// A bar of `width` cells in proportion to the share; anything above nothing shows at least one cell.
std::string bar(std::size_t part, std::size_t whole, std::size_t width) {
  if (whole == 0 || part == 0) return "";
  const double share = static_cast<double>(part) / static_cast<double>(whole);
  const auto cells =
      std::max<std::size_t>(1, static_cast<std::size_t>(std::lround(share * static_cast<double>(width))));
  std::string text;
  for (std::size_t i = 0; i < cells; ++i) text += "━";
  return text;
}

void print_counts(const Summary& summary) {
  const std::size_t width = std::min<std::size_t>(40, terminal_width() - 34);
  fmt::print("  {:>9} tests planned\n", summary.planned);
  for (const Outcome outcome : {Outcome::pass, Outcome::conditional_pass, Outcome::conditional_fail,
                                Outcome::fail, Outcome::not_tested, Outcome::invalid}) {
    const std::size_t count = summary.count(outcome);
    if (count == 0) continue;
    // The styled word carries bytes that take no column, so the gap is counted from the plain one.
    const std::string gap(20 - std::min<std::size_t>(19, text_of(outcome).size() + 2), ' ');
    fmt::print("  {:>9} {}{}{}\n", count, styled(outcome), gap, bar(count, summary.planned, width));
  }
}

std::string numbers_of(const Assessment& all, const JudgedTest& test) {
  if (!test.has_loss) return "";
  std::string text = fmt::format("loss {:.2f} dB", test.loss.value);
  if (test.limit != nothing)
    text += fmt::format(", limit {:.2f}, margin {:+.2f}", all.limits[test.limit].value.value,
                        (all.limits[test.limit].value - test.loss).value);
  return text + fmt::format(", U {:.2f}", 2 * test.standard_uncertainty.value);
}

void print_exception(const Assessment& all, const JudgedTest& test) {
  std::string name = name_of(all.schedule[test.strand]);
  if (test.wavelength.value > 0) name += fmt::format(" {:.0f} nm", test.wavelength.value);
  if (test.direction) name += fmt::format(" {}", text_of(*test.direction));
  fmt::print("  {}  {}", styled(test.outcome), legible(name));
  const std::string numbers = numbers_of(all, test);
  if (!numbers.empty()) fmt::print("  {}", numbers);
  fmt::print("\n");
  std::string reason{sentence_of(test.reason)};
  if (test.limit_problem != nothing) reason += " " + describe(all.limit_problems[test.limit_problem]);
  if (!reason.empty()) fmt::print("      {}\n", wrapped(reason, 6));
}

void print_exceptions(const Assessment& all) {
  std::size_t shown = 0;
  std::size_t more = 0;
  for (const Outcome outcome : order) {
    if (outcome == Outcome::pass) continue;
    for (const JudgedTest& test : all.tests) {
      if (test.outcome != outcome) continue;
      if (shown == 0) fmt::print("\n{}\n", heading("Exceptions"));
      if (shown < exceptions_shown) print_exception(all, test);
      if (shown < exceptions_shown)
        ++shown;
      else
        ++more;
    }
  }
  if (more > 0) fmt::print("  ... and {} more; --json, --csv or the report list them all.\n", more);
}

void print_findings(const JudgedJob& job) {
  if (!job.findings.empty()) fmt::print("\n{}\n", heading("Findings"));
  for (const Finding& finding : job.findings) {
    fmt::print("  {}  {}: {}\n", finding.id, text_of(finding.weight), wrapped(finding.summary, 6));
    fmt::print("      {}\n", wrapped("Next: " + finding.advice, 6));
    if (!finding.caution.empty()) fmt::print("      {}\n", wrapped("Caution: " + finding.caution, 6));
  }
}

void print_leftovers(const JudgedJob& job) {
  const Assessment& all = job.assessment;
  if (!all.unmatched.empty())
    fmt::print("\n{}\n",
               heading(fmt::format("{} readings belong to no planned test (kept)", all.unmatched.size())));
  for (std::size_t i = 0; i < std::min(rows_shown, all.unmatched.size()); ++i) {
    const UnmatchedReading& row = all.unmatched[i];
    const Reading& reading = all.readings.rows[row.reading];
    std::string text = fmt::format("{}: \"{}{}{}\": {}", describe(all.readings.place_of(reading)),
                                   reading.link, reading.link.empty() ? "" : "/", reading.strand, row.why);
    if (!row.proposal.empty()) text += fmt::format("; is {} meant? (alike by {})", row.proposal, row.by);
    fmt::print("  {}\n", wrapped(text, 4));
  }
  if (all.unmatched.size() > rows_shown)
    fmt::print("  ... and {} more.\n", all.unmatched.size() - rows_shown);
  if (!job.unread_rows.empty())
    fmt::print("\n{}\n", heading(fmt::format("{} rows or cells not used (kept)", job.unread_rows.size())));
  for (std::size_t i = 0; i < std::min(rows_shown, job.unread_rows.size()); ++i)
    fmt::print("  {}\n", wrapped(describe(job.unread_rows[i]), 4));
  if (job.unread_rows.size() > rows_shown)
    fmt::print("  ... and {} more.\n", job.unread_rows.size() - rows_shown);
}

void print_memory_note(const Assessment& all) {
  const auto count = std::count_if(all.tests.begin(), all.tests.end(), [&all](const JudgedTest& test) {
    return test.judged() && rests_on_memory(all.limits[test.limit]);
  });
  if (count > 0)
    fmt::print("\n{}\n",
               wrapped(fmt::format("{} outcomes rest on limit values from memory; check those against the "
                                   "document before handing over.",
                                   count),
                       0));
}

}  // namespace

void print_summary(const JudgedJob& job) {
  print_rules(job);
  print_counts(job.assessment.summary);
  print_exceptions(job.assessment);
  print_findings(job);
  print_leftovers(job);
  if (!job.notes.empty()) fmt::print("\n{}\n", heading("How the files were understood"));
  for (const ImportNote& note : job.notes)
    fmt::print("  {}\n", wrapped(fmt::format("{}{}{}{}{}", note.file, note.sheet.empty() ? "" : ", ",
                                             note.sheet, note.file.empty() ? "" : ": ", note.text),
                                 4));
  print_memory_note(job.assessment);
}

}  // namespace strandbook
