// The first sheet: what the job comes to, the decision rule the other sheets read, counts by link.

#include <fmt/format.h>

#include "edge/report/ledger_book.hpp"
#include "edge/report/legible.hpp"
#include "edge/report/outcome_mark.hpp"
#include "edge/report/words.hpp"

namespace strandbook {
namespace {

std::string report_title_or(const ReportOptions& options, const Wording& words) {
  return options.title.empty() ? words.say("Loss tests") : options.title;
}

void entry(LedgerSheet& sheet, std::string_view label, const std::string& value) {
  sheet.say(label);
  sheet.text(value);
  sheet.next_row();
}

void head(LedgerSheet& sheet, const ReportedJob& view, const ReportOptions& options) {
  sheet.text(report_title_or(options, sheet.words()), CellLook::title);
  sheet.next_row();
  entry(sheet, "job", view.job.name);
  entry(sheet, "site", options.site);
  entry(sheet, "client", options.client);
  entry(sheet, "contractor", options.contractor);
  entry(sheet, "date", options.created.seconds == 0 ? "" : sheet.words().moment(options.created));
  if (options.part) {
    entry(sheet, "part reported", scope_text(options.part->scope, sheet.words()));
    entry(sheet, "left out", left_out_text(*options.part, view, sheet.words()));
  }
  for (const RuleSet* rule : view.all.rules)
    if (rule != nullptr) entry(sheet, "rule", title_of(*rule, sheet.words()));
  entry(sheet, "verdict", verdict_of(view.all, sheet.words()));
  sheet.next_row();
}

void decision(LedgerBook& book, LedgerSheet& sheet, GuardBand guard) {
  sheet.headings({"decision rule", "", "what it does"});
  book.name_cell(std::string(guard_name),
                 fmt::format("='{}'!$B${}", sheet.words().say("Summary"), sheet.row() + 1));
  sheet.say("guard band");
  sheet.text(text_of(guard));
  sheet.say(
      "\"none\": loss up to the limit passes. \"U\": the four-state rule with guard band U. Every outcome "
      "follows.");
  sheet.next_row();
  book.name_cell(std::string(coverage_name),
                 fmt::format("='{}'!$B${}", sheet.words().say("Summary"), sheet.row() + 1));
  sheet.say("coverage factor k");
  sheet.number(2, CellLook::whole);
  sheet.text("U = k\u00B7u");
  sheet.next_row();
  sheet.next_row();
}

std::string counting_formula(Outcome outcome, std::size_t tests, const Wording& words) {
  std::string formula = "=";
  const std::size_t sheets = std::max<std::size_t>(1, (tests + tests_per_sheet - 1) / tests_per_sheet);
  for (std::size_t i = 0; i < sheets; ++i)
    formula +=
        fmt::format("{0}COUNTIF('{1}'!{2}2:{2}{3},\"{4}\")", i == 0 ? "" : "+", tests_sheet_name(i, words),
                    outcome_column, std::min(tests - i * tests_per_sheet, tests_per_sheet) + 1,
                    words.say(text_of(outcome)));
  return formula;
}

void counts(LedgerSheet& sheet, const ReportedJob& view) {
  sheet.headings({"outcome", "tests", "meaning"});
  for (const Outcome outcome : all_outcomes) {
    sheet.say(text_of(outcome));
    const std::size_t count = view.all.summary.count(outcome);
    if (view.tests.empty()) {
      sheet.count(count);
    } else {
      sheet.formula(counting_formula(outcome, view.tests.size(), sheet.words()), static_cast<double>(count),
                    CellLook::whole);
    }
    sheet.say(meaning_of(outcome, view.all.guard));
    sheet.next_row();
  }
  sheet.say("planned");
  sheet.count(view.all.summary.planned);
  sheet.next_row();
  sheet.next_row();
}

void links(LedgerSheet& sheet, const ReportedJob& view) {
  sheet.headings({"link", "cable", "building", "strands", "tests", "pass", "conditional pass",
                  "conditional fail", "fail", "not tested", "invalid", "worst margin, dB"});
  for (const LinkView& link : view.links) {
    sheet.text(link.name);
    sheet.text(link.cable);
    sheet.text(link.building);
    sheet.count(link.strands);
    sheet.count(link.tests);
    for (const Outcome outcome : all_outcomes) sheet.count(link.counts.count(outcome));
    if (link.tightest != nothing)
      sheet.number(margin_of(view.all, view.all.tests[link.tightest])->value, CellLook::two_decimals);
    sheet.next_row();
  }
}

}  // namespace

void write_summary_sheet(LedgerBook& book, const ReportedJob& view, const ReportOptions& options) {
  LedgerSheet sheet = book.add_sheet("Summary");
  worksheet_set_column(sheet.sheet(), 0, 0, 26, nullptr);
  worksheet_set_column(sheet.sheet(), 1, 2, 18, nullptr);
  worksheet_set_column(sheet.sheet(), 3, 11, 11, nullptr);
  head(sheet, view, options);
  decision(book, sheet, view.all.guard);
  counts(sheet, view);
  links(sheet, view);
}

}  // namespace strandbook
