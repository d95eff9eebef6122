#include "edge/report/strand_exceptions.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "edge/report/budget_bar.hpp"
#include "edge/report/exception_page.hpp"
#include "edge/report/legible.hpp"
#include "edge/report/outcome_mark.hpp"
#include "edge/report/strand_colour.hpp"
#include "edge/report/words.hpp"

namespace strandbook {
namespace {

constexpr double bar_indent = 118;
constexpr double strand_head_height = 44;
constexpr double bar_block = budget_bar_height + 12;
constexpr double heading_height = 40;

/// Tests of a strand with a loss and a limit: what a bar can be drawn of.
std::vector<std::uint32_t> drawable(const ReportedJob& view, std::uint32_t strand) {
  const LinkView& link = view.links[view.link_of[strand]];
  std::vector<std::uint32_t> tests;
  for (const std::uint32_t index : view.tests_of(link))
    if (view.all.tests[index].strand == strand && margin_of(view.all, view.all.tests[index]))
      tests.push_back(index);
  return tests;
}

/// What a strand takes on the page, so far as it is kept together.
double height_of(const std::vector<std::uint32_t>& tests) {
  constexpr std::size_t most_together = 8;
  return strand_head_height + bar_block * static_cast<double>(std::min(tests.size(), most_together));
}

/// "F1, F3".
std::string ids_of(const ReportedJob& view, const std::vector<std::uint32_t>& findings) {
  std::string listed;
  for (const std::uint32_t index : findings)
    listed += (listed.empty() ? "" : ", ") + view.job.findings[index].id;
  return listed;
}

void strand_head(const ReportPass& pass, std::uint32_t strand, const std::string& findings) {
  Flow& flow = pass.flow;
  const ScheduledStrand& row = pass.view.all.schedule[strand];
  const std::uint32_t link = pass.view.link_of[strand];
  flow.anchor({AnchorKind::strand_exception, strand});
  flow.advance(15);
  const int colour = colour_position(row.strand).value_or(0);
  if (colour != 0) flow.canvas().chip(colour, {flow.left(), flow.y() - 7.4, 11, 7.6});
  const double x = flow.left() + (colour != 0 ? 16 : 0);
  flow.canvas().begin(PageRole::subheading);
  flow.canvas().text({{x, flow.y()}, flow.width() - 150, Align::left}, {Face::serif_bold, 11.5}, Ink::ink,
                     strand_title(row));
  flow.canvas().begin(PageRole::paragraph);
  flow.canvas().text(
      {{flow.right(), flow.y()}, 130, Align::right}, {Face::serif_italic, 8.6}, Ink::accent,
      "\u2191 " + pass.words.say("link, page") + " " + flow.page_of({AnchorKind::link_page, link}));
  flow.link({flow.right() - 100, flow.y() - 10, 100, 13}, {AnchorKind::link_page, link});
  flow.advance(11.5);
  std::string below =
      row.end_a.empty() && row.end_b.empty() ? std::string{} : row.end_a + " \u2192 " + row.end_b;
  if (colour != 0) below += (below.empty() ? "" : "  \u00B7  ") + pass.words.say(colour_name(colour));
  if (!findings.empty())
    below += (below.empty() ? "" : "  \u00B7  ") + pass.words.say("see finding") + " " + findings;
  flow.canvas().begin(PageRole::paragraph);
  flow.canvas().text({{flow.left(), flow.y()}, flow.width(), Align::left}, {Face::serif_italic, 9}, Ink::grey,
                     below);
  flow.canvas().end();
  flow.advance(5);
  flow.canvas().line({flow.left(), flow.y()}, {flow.right(), flow.y()}, 0.5, Ink::ink);
  flow.advance(3);
}

void test_bar(const ReportPass& pass, std::uint32_t index) {
  Flow& flow = pass.flow;
  const Assessment& all = pass.view.all;
  const JudgedTest& test = all.tests[index];
  const Wording& words = pass.words;
  flow.need(bar_block);
  Canvas& canvas = flow.canvas();
  const double x = flow.left();
  const double y = flow.y();
  canvas.begin(PageRole::paragraph);
  canvas.text(
      {{x, y + 9}, bar_indent - 10, Align::left}, {Face::serif_bold, 9.4}, Ink::ink,
      fmt::format("{} nm {}", words.plain(test.wavelength.value), words.say(arrow_of(test.direction))));
  canvas.mark(test.outcome, {x + 3.5, y + 17.4}, 3);
  canvas.text({{x + 11, y + 20}, bar_indent - 20, Align::left}, {Face::sans_bold, 8.2},
              is_beyond_limit(test.outcome) ? Ink::accent : Ink::ink, words.say(text_of(test.outcome)));
  canvas.text({{x, y + 31}, bar_indent - 8, Align::left}, {Face::sans, 8}, Ink::ink,
              fmt::format("{} \u00B1 {} dB", words.decimal(test.loss.value, 2),
                          words.decimal(2 * test.standard_uncertainty.value, 2)));
  canvas.text({{x, y + 41}, bar_indent - 8, Align::left}, {Face::sans, 8}, Ink::grey,
              fmt::format("{} {}", words.say("margin"), words.decimal(margin_of(all, test)->value, 2)));
  draw_budget_bar(canvas, {x + bar_indent, y, flow.width() - bar_indent, budget_bar_height},
                  {limit_behind(all, test), test.loss, 2 * test.standard_uncertainty}, words);
  flow.advance(bar_block);
}

std::vector<std::uint32_t> tests_of_strand(const ReportedJob& view, std::uint32_t strand) {
  std::vector<std::uint32_t> tests;
  for (const std::uint32_t index : view.tests_of(view.links[view.link_of[strand]]))
    if (view.all.tests[index].strand == strand) tests.push_back(index);
  return tests;
}

/// Strands with a test that `concerns`, in order of the schedule.
template <class Concerns>
std::vector<std::uint32_t> strands_with(const ReportedJob& view, Concerns concerns) {
  std::vector<bool> found(view.all.schedule.size());
  for (const JudgedTest& test : view.all.tests)
    if (concerns(test.outcome)) found[test.strand] = true;
  std::vector<std::uint32_t> strands;
  for (const std::uint32_t strand : view.strands)
    if (found[strand]) strands.push_back(strand);
  return strands;
}

void strand_pages(const ReportPass& pass, const std::vector<std::uint32_t>& strands) {
  const StrandRecords records = records_of(pass.view, strands);
  for (const std::uint32_t strand : strands) {
    if (pass.flow.stopped()) return;
    pass.flow.new_page();
    if (strand == strands.front()) pass.flow.heading("Exceptions, a page for each strand");
    strand_head(pass, strand, ids_of(pass.view, records.findings[strand]));
    for (const std::uint32_t test : drawable(pass.view, strand)) test_bar(pass, test);
    write_exception_details(pass, strand, tests_of_strand(pass.view, strand), records);
  }
}

void strand_blocks(const ReportPass& pass, const std::vector<std::uint32_t>& strands) {
  if (strands.empty()) return;
  // The heading and the first strand stay together.
  pass.flow.need(heading_height + height_of(drawable(pass.view, strands.front())));
  pass.flow.heading("Strands beyond a limit, one by one");
  const StrandRecords records = records_of(pass.view, {});
  for (const std::uint32_t strand : strands) {
    if (pass.flow.stopped()) return;
    const auto tests = drawable(pass.view, strand);
    // A strand stays together where a page can hold it.
    pass.flow.need(height_of(tests));
    strand_head(pass, strand, ids_of(pass.view, records.findings[strand]));
    for (const std::uint32_t test : tests) test_bar(pass, test);
    pass.flow.advance(6);
  }
}

}  // namespace

StrandExceptions strand_exceptions(const ReportedJob& view) {
  const auto beyond = strands_with(view, is_beyond_limit);
  auto all = strands_with(
      view, [](Outcome outcome) { return is_beyond_limit(outcome) || outcome == Outcome::invalid; });
  if (all.size() <= most_strand_pages) return {std::move(all), true};
  return {beyond, beyond.size() <= most_strand_pages};
}

void write_strand_exceptions(const ReportPass& pass) {
  const StrandExceptions exceptions = strand_exceptions(pass.view);
  if (exceptions.a_page_each)
    strand_pages(pass, exceptions.strands);
  else
    strand_blocks(pass, exceptions.strands);
}

}  // namespace strandbook
