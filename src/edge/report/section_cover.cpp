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
  const Box left{flow.left(), flow.y() - 12, flow.width() * 0.45, 60};
  const Box right{flow.right() - flow.width() * 0.45, flow.y() - 12, flow.width() * 0.45, 60};
  // Signs of firms whose names stand below: nothing to read out.
  flow.canvas().furniture();
  if (pass.options.client_picture) flow.canvas().picture(*pass.options.client_picture, left, Align::left);
  if (pass.options.contractor_picture)
    flow.canvas().picture(*pass.options.contractor_picture, right, Align::right);
  flow.canvas().end();
  flow.advance(64);
  double_rule(flow);
  flow.advance(16);
  flow.canvas().text({{flow.left(), flow.y() + 4}, flow.width(), Align::left}, {Face::serif_italic, 12},
                     Ink::accent, pass.words.say("Insertion loss of optical-fibre links, strand by strand"));
  flow.advance(12);
  const TextStyle title{Face::serif, 32};
  auto lines =
      flow.canvas().typesetter().wrapped(title, report_title(pass.options, pass.words), flow.width());
  if (lines.size() > 3) lines.resize(3);
  flow.canvas().begin(PageRole::title);
  for (const std::string& line : lines) {
    flow.advance(36);
    flow.canvas().text({{flow.left(), flow.y() - 6}, flow.width() + 1, Align::left}, title, Ink::ink, line);
  }
  flow.canvas().end();
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
  flow.canvas().begin(PageRole::paragraph);
  flow.canvas().text({{flow.left(), flow.y() + 11}, 108, Align::left}, label_style, Ink::grey,
                     flow.words().say(label));
  for (const std::string& line : lines) {
    flow.advance(15);
    flow.canvas().text({{flow.left() + 112, flow.y() - 4}, flow.width() - 111, Align::left}, value_style,
                       Ink::ink, line);
  }
  flow.canvas().end();
  flow.advance(3);
}

std::string rules_of(const Assessment& all, const Wording& words) {
  std::string text;
  std::size_t shown = 0;
  for (const RuleSet* rule : all.rules) {
    if (rule == nullptr) continue;
    if (++shown > 3) return text + "; " + words.say("and others, section 1");
    text += (text.empty() ? "" : "; ") + title_of(*rule, words);
  }
  return text.empty() ? words.say("limits stated link by link") : text;
}

std::string extent_text(const Wording& words, std::size_t links, std::size_t strands, std::size_t tests) {
  return fmt::format("{}, {}, {}", words.say(counted(links, "link")), words.say(counted(strands, "strand")),
                     words.say(tests == 1 ? "1 test due" : count_text(tests) + " tests due"));
}

void scope_entries(const ReportPass& pass) {
  if (!pass.options.part) return;
  const Extent& whole = pass.options.part->whole;
  entry(pass.flow, "Part reported", scope_text(pass.options.part->scope, pass.words));
  entry(pass.flow, "Left out", left_out_text(*pass.options.part, pass.view, pass.words));
  entry(pass.flow, "Whole job", extent_text(pass.words, whole.links, whole.strands, whole.tests.planned));
}

void entries(const ReportPass& pass) {
  const Assessment& all = pass.view.all;
  Flow& flow = pass.flow;
  entry(flow, "Job", pass.view.job.name);
  entry(flow, "Site", pass.options.site);
  entry(flow, "Client", pass.options.client);
  entry(flow, "Contractor", pass.options.contractor);
  if (pass.options.created.seconds != 0) entry(flow, "Date", pass.words.day(pass.options.created));
  scope_entries(pass);
  entry(flow, "Extent",
        extent_text(pass.words, pass.view.links.size(), all.schedule.size(), all.summary.planned));
  entry(flow, "Rule", rules_of(all, pass.words));
  entry(flow, "Decision rule",
        pass.words.say(all.guard == GuardBand::none
                           ? "simple acceptance: loss \u2264 limit (guard band 0)"
                           : "guard band U = 2u: pass where loss \u2264 limit \u2212 U"));
}

void verdict(const ReportPass& pass) {
  Flow& flow = pass.flow;
  flow.advance(10);
  flow.paragraph(verdict_of(pass.view.all, pass.words), {Face::serif, 16});
  const std::size_t recalled = tests_on_memory(pass.view.all);
  if (recalled == 0) return;
  flow.paragraph(
      recalled == 1
          ? fmt::format("1 outcome rests on numbers that are from memory and await checking: section {}.",
                        number_of(Section::memory))
          : fmt::format("{} outcomes rest on numbers that are from memory and await checking: section {}.",
                        count_text(recalled), number_of(Section::memory)),
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
    flow.canvas().begin(PageRole::paragraph);
    flow.canvas().text({{flow.left() + 22, base}, 140, Align::left}, value_style, ink,
                       capitalised(pass.words.say(text_of(outcome))));
    flow.canvas().text({{flow.left() + 190, base}, 70, Align::right}, value_style, ink, count_text(count));
    const double share =
        summary.planned == 0 ? 0 : 100.0 * static_cast<double>(count) / static_cast<double>(summary.planned);
    flow.canvas().text({{flow.left() + 244, base}, 60, Align::right}, label_style,
                       count == 0 ? ink : Ink::grey, pass.words.decimal(share, 1) + "\u2009%");
    flow.canvas().text({{flow.left() + 262, base}, flow.width() - 262, Align::left}, label_style,
                       count == 0 ? ink : Ink::grey,
                       pass.words.say(meaning_of(outcome, pass.view.all.guard)));
  }
  flow.canvas().end();
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

std::string report_title(const ReportOptions& options, const Wording& words) {
  return options.title.empty() ? words.say("Report of loss tests") : options.title;
}

std::string head_of(const JudgedJob& job, const Wording& words) {
  return job.name.empty() ? words.say("Loss tests") : job.name;
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
  flow.outline(pass.words.say("Contents"), 0);
  flow.advance(24);
  flow.canvas().begin(PageRole::section);
  flow.canvas().begin(PageRole::title);
  flow.canvas().text({{flow.left(), flow.y()}}, {Face::serif, 21}, Ink::ink, pass.words.say("Contents"));
  flow.canvas().end();
  flow.advance(8);
  double_rule(flow);
  flow.advance(10);
  for (auto number = number_of(Section::scope); number <= number_of(Section::signatures); ++number) {
    const Anchor target{AnchorKind::section, number};
    flow.advance(22);
    flow.canvas().begin(PageRole::paragraph);
    flow.canvas().text({{flow.left() + 16, flow.y()}, 20, Align::right}, label_style, Ink::accent,
                       std::to_string(number));
    flow.canvas().text({{flow.left() + 30, flow.y()}}, value_style, Ink::ink,
                       pass.words.say(title_of(Section{number})));
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
    flow.canvas().begin(PageRole::paragraph);
    flow.canvas().text({{flow.left() + 20, flow.y()}}, body_style, Ink::ink,
                       pass.words.say(text_of(outcome)));
    flow.canvas().text({{flow.left() + 130, flow.y()}}, note_style, Ink::grey,
                       pass.words.say(meaning_of(outcome, pass.view.all.guard)));
  }
}

}  // namespace strandbook
