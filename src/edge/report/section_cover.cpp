// Cover and contents.

#include <fmt/format.h>

#include "edge/report/legible.hpp"
#include "edge/report/outcome_mark.hpp"
#include "edge/report/sections.hpp"
#include "edge/report/words.hpp"

namespace strandbook {
namespace {

constexpr TextStyle label_style{Face::serif_italic, 11};
constexpr TextStyle value_style{Face::serif, 12};

void double_rule(Flow& flow) {
  flow.canvas().line({flow.left(), flow.y()}, {flow.right(), flow.y()}, 1.6, Ink::ink);
  flow.canvas().line({flow.left(), flow.y() + 3}, {flow.right(), flow.y() + 3}, 0.4, Ink::ink);
  flow.advance(3);
}

void title_block(const ReportPass& pass) {
  Flow& flow = pass.flow;
  flow.advance(64);
  double_rule(flow);
  flow.advance(16);
  flow.canvas().text({{flow.left(), flow.y() + 4}, flow.width(), Align::left}, {Face::serif_italic, 12},
                     Ink::accent, "Insertion loss of optical-fibre links, strand by strand");
  flow.advance(12);
  const TextStyle title{Face::serif, 32};
  auto lines = flow.canvas().typesetter().wrapped(title, report_title(pass.options), flow.width());
  if (lines.size() > 3) lines.resize(3);
  for (const std::string& line : lines) {
    flow.advance(36);
    flow.canvas().text({{flow.left(), flow.y() - 6}, flow.width() + 1, Align::left}, title, Ink::ink, line);
  }
  flow.advance(16);
}

void entry(Flow& flow, std::string_view label, const std::string& value) {
  if (value.empty()) return;
  auto lines = flow.canvas().typesetter().wrapped(value_style, value, flow.width() - 112);
  if (lines.size() > 4) {
    lines.resize(4);
    lines[3] += "\u2026";
  }
  flow.canvas().line({flow.left(), flow.y()}, {flow.right(), flow.y()}, 0.35, Ink::hairline);
  flow.advance(5);
  flow.canvas().text({{flow.left(), flow.y() + 11}, 108, Align::left}, label_style, Ink::grey, label);
  for (const std::string& line : lines) {
    flow.advance(15);
    flow.canvas().text({{flow.left() + 112, flow.y() - 4}, flow.width() - 111, Align::left}, value_style,
                       Ink::ink, line);
  }
  flow.advance(3);
}

std::string rules_of(const Assessment& all) {
  std::string text;
  std::size_t shown = 0;
  for (const RuleSet* rule : all.rules) {
    if (rule == nullptr) continue;
    if (++shown > 3) return text + "; and others, section 1";
    text += (text.empty() ? "" : "; ") + title_of(*rule);
  }
  return text.empty() ? "limits stated link by link" : text;
}

void entries(const ReportPass& pass) {
  const Assessment& all = pass.view.all;
  Flow& flow = pass.flow;
  entry(flow, "Job", pass.view.job.name);
  entry(flow, "Site", pass.options.site);
  entry(flow, "Client", pass.options.client);
  entry(flow, "Contractor", pass.options.contractor);
  entry(flow, "Date", date_of(pass.options));
  entry(flow, "Extent",
        fmt::format("{}, {}, {} due", counted(pass.view.links.size(), "link"),
                    counted(all.schedule.size(), "strand"), counted(all.summary.planned, "test")));
  entry(flow, "Rule", rules_of(all));
  entry(flow, "Decision rule",
        all.guard == GuardBand::none ? "simple acceptance: loss \u2264 limit (guard band 0)"
                                     : "guard band U = 2u: pass where loss \u2264 limit \u2212 U");
}

void verdict(const ReportPass& pass) {
  Flow& flow = pass.flow;
  flow.advance(10);
  flow.paragraph(verdict_of(pass.view.all), {Face::serif, 16});
  const std::size_t recalled = tests_on_memory(pass.view.all);
  if (recalled == 0) return;
  flow.paragraph(
      fmt::format("{} {} on numbers that are from memory and await checking: section {}.",
                  counted(recalled, "outcome"), recalled == 1 ? "rests" : "rest", number_of(Section::memory)),
      note_style, Ink::accent);
}

void counts(const ReportPass& pass) {
  Flow& flow = pass.flow;
  const Summary& summary = pass.view.all.summary;
  flow.advance(4);
  for (const Outcome outcome : all_outcomes) {
    const std::size_t count = summary.count(outcome);
    const Ink ink = count == 0 ? Ink::faint : Ink::ink;
    flow.canvas().line({flow.left(), flow.y()}, {flow.right(), flow.y()}, 0.35, Ink::hairline);
    flow.advance(18);
    const double base = flow.y() - 5;
    flow.canvas().mark(outcome, {flow.left() + 7, base - 3.8}, 4.6);
    flow.canvas().text({{flow.left() + 22, base}, 140, Align::left}, value_style, ink,
                       capitalised(text_of(outcome)));
    flow.canvas().text({{flow.left() + 190, base}, 70, Align::right}, value_style, ink, count_text(count));
    const double share =
        summary.planned == 0 ? 0 : 100.0 * static_cast<double>(count) / static_cast<double>(summary.planned);
    flow.canvas().text({{flow.left() + 244, base}, 60, Align::right}, label_style,
                       count == 0 ? ink : Ink::grey, decimal_text(share, 1) + " %");
    flow.canvas().text({{flow.left() + 262, base}, flow.width() - 262, Align::left}, label_style,
                       count == 0 ? ink : Ink::grey, meaning_of(outcome, pass.view.all.guard));
  }
  double_rule(flow);
}

}  // namespace

std::string_view title_of(Section section) {
  switch (section) {
    case Section::scope:
      return "Scope and rule";
    case Section::instruments:
      return "Instruments and references";
    case Section::summary:
      return "Summary";
    case Section::exceptions:
      return "Exceptions and findings";
    case Section::links:
      return "Links: budget and working";
    case Section::strands:
      return "All strands";
    case Section::kept_rows:
      return "Rows kept but not used";
    case Section::cautions:
      return "Cautions";
    case Section::memory:
      return "What rests on memory";
    case Section::signatures:
      return "Signatures";
  }
  return {};
}

std::string report_title(const ReportOptions& options) {
  return options.title.empty() ? "Report of loss tests" : options.title;
}

std::string head_of(const JudgedJob& job) { return job.name.empty() ? "Loss tests" : job.name; }

std::string date_of(const ReportOptions& options) {
  return options.created.seconds == 0 ? std::string{} : iso_text(options.created).substr(0, 10);
}

void write_cover(const ReportPass& pass) {
  pass.flow.plain_page();
  title_block(pass);
  entries(pass);
  verdict(pass);
  counts(pass);
}

void write_contents(const ReportPass& pass) {
  Flow& flow = pass.flow;
  flow.new_page();
  flow.outline("Contents", 0);
  flow.advance(24);
  flow.canvas().text({{flow.left(), flow.y()}}, {Face::serif, 21}, Ink::ink, "Contents");
  flow.advance(8);
  double_rule(flow);
  flow.advance(10);
  for (auto number = number_of(Section::scope); number <= number_of(Section::signatures); ++number) {
    const Anchor target{AnchorKind::section, number};
    flow.advance(22);
    flow.canvas().text({{flow.left() + 16, flow.y()}, 20, Align::right}, label_style, Ink::accent,
                       std::to_string(number));
    flow.canvas().text({{flow.left() + 30, flow.y()}}, value_style, Ink::ink, title_of(Section{number}));
    flow.canvas().text({{flow.right(), flow.y()}, 60, Align::right}, value_style, Ink::ink,
                       flow.page_of(target));
    flow.canvas().line({flow.left(), flow.y() + 6}, {flow.right(), flow.y() + 6}, 0.35, Ink::hairline);
    flow.link({flow.left(), flow.y() - 14, flow.width(), 20}, target);
  }
  flow.advance(34);
  flow.paragraph("Shapes of outcomes", {Face::serif_bold, 12});
  flow.paragraph(
      "Round is within the limit, square is beyond it. A full shape is settled; a half-filled one lies "
      "nearer to the "
      "limit than the uncertainty U. Open shapes stand for no verdict.");
  for (const Outcome outcome : all_outcomes) {
    flow.advance(16);
    flow.canvas().mark(outcome, {flow.left() + 6, flow.y() - 3.4}, 4);
    flow.canvas().text({{flow.left() + 20, flow.y()}}, body_style, Ink::ink, text_of(outcome));
    flow.canvas().text({{flow.left() + 130, flow.y()}}, note_style, Ink::grey,
                       meaning_of(outcome, pass.view.all.guard));
  }
}

}  // namespace strandbook
