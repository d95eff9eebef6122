// Everything that is not a pass, gravest first, and the findings that explain it.

#include <fmt/format.h>

#include "edge/report/finding_picture.hpp"
#include "edge/report/legible.hpp"
#include "edge/report/outcome_mark.hpp"
#include "edge/report/sections.hpp"
#include "edge/report/strand_colour.hpp"
#include "edge/report/strand_exceptions.hpp"
#include "edge/report/table.hpp"
#include "edge/report/words.hpp"

namespace strandbook {
namespace {

constexpr std::size_t most_tests_named = 12;

std::string evidence_text(const EvidenceValue& value, const Wording& words) {
  if (const auto* number = std::get_if<double>(&value)) return words.plain(std::round(*number * 1e4) / 1e4);
  return words.cell(std::get<std::string>(value));
}

/// "least_loss_db" -> "least loss, dB".
std::string evidence_name(std::string name, const Wording& words) {
  std::string_view measure;
  for (const auto& [ending, unit] :
       {std::pair{"_dbm", ", dBm"}, {"_db", ", dB"}, {"_nm", ", nm"}, {"_m", ", m"}}) {
    const std::string_view tail = ending;
    if (name.size() <= tail.size() || !name.ends_with(tail)) continue;
    name.erase(name.size() - tail.size());
    measure = unit;
    break;
  }
  for (char& letter : name)
    if (letter == '_') letter = ' ';
  return words.say(name) + std::string(measure);
}

std::string test_name(const Assessment& all, const JudgedTest& test, const Wording& words) {
  return fmt::format("{} {} nm {}", strand_title(all.schedule[test.strand]),
                     words.plain(test.wavelength.value), words.say(arrow_of(test.direction)));
}

std::string tests_named(const Assessment& all, const std::vector<std::uint32_t>& tests,
                        const Wording& words) {
  std::string text;
  std::size_t named = 0;
  for (const std::uint32_t index : tests) {
    if (index >= all.tests.size()) continue;
    if (named++ == most_tests_named)
      return text + "; " + words.say(fmt::format("and {} more", count_text(tests.size() - most_tests_named)));
    text += (text.empty() ? "" : "; ") + test_name(all, all.tests[index], words);
  }
  return text;
}

void labelled(Flow& flow, std::string_view label, const std::string& text) {
  if (text.empty()) return;
  flow.need(28);
  flow.canvas().begin(PageRole::paragraph);
  flow.canvas().text({{flow.left() + 30, flow.y() + 10.2}}, note_style, Ink::grey, flow.words().say(label));
  flow.paragraph_in({flow.left() + 92, 0, flow.width() - 92, 0}, text, {Face::serif, 10}, Ink::ink);
}

/// A chance below one in a thousand is told as such: further digits would pretend to be known.
std::string chance_text(double chance) {
  if (chance < 1e-6) return "less than one in a million in a job in which nothing is wrong";
  if (chance < 1e-3) return "less than one in a thousand in a job in which nothing is wrong";
  return fmt::format("{:.2g} in a job in which nothing is wrong", chance);
}

/// "clean-inspect" -> "clean inspect": the keys read as words.
std::string action_name(std::string key) {
  for (char& letter : key)
    if (letter == '-') letter = ' ';
  return key;
}

void finding(const ReportPass& pass, const Finding& each) {
  Flow& flow = pass.flow;
  flow.need(96);
  flow.canvas().begin(PageRole::subheading);
  flow.canvas().text({{flow.left(), flow.y() + 11.2}, 28, Align::left}, {Face::serif_bold, 11}, Ink::accent,
                     each.id);
  flow.paragraph_in({flow.left() + 30, 0, flow.width() - 30, 0}, each.summary, {Face::serif, 11}, Ink::ink);
  std::string evidence;
  for (const auto& [name, value] : each.evidence)
    evidence += (evidence.empty() ? "" : "; ") + evidence_name(name, pass.words) + ": " +
                evidence_text(value, pass.words);
  labelled(flow, "Evidence", evidence);
  if (each.chance) labelled(flow, "By chance", chance_text(*each.chance));
  labelled(flow, "Next step", each.advice);
  labelled(flow, "Caution", each.caution);
  std::string steps;
  for (const NextStep& step : each.steps)
    steps += fmt::format("{}{} ({}, {:.0f}\u2009%, {} min)",
                         steps.empty() ? "" : "; " + pass.words.say("then") + " ",
                         pass.words.say(action_name(step.action)), pass.words.say(step.cause),
                         100 * step.share, pass.words.plain(step.minutes));
  labelled(flow, "Plan", steps);
  if (each.picture && each.picture->points.size() > 1) {
    flow.need(finding_picture_height + 6);
    flow.canvas().figure([&] { return picture_told(*each.picture, pass.words); });
    draw_finding_picture(flow.canvas(), {flow.left() + 92, flow.y() + 3, 300, finding_picture_height},
                         *each.picture, pass.words);
    flow.canvas().end();
    flow.advance(finding_picture_height + 6);
  }
  if (!each.tests.empty())
    labelled(flow, counted(each.tests.size(), "test"), tests_named(pass.view.all, each.tests, pass.words));
  flow.advance(6);
  flow.canvas().line({flow.left(), flow.y()}, {flow.right(), flow.y()}, 0.35, Ink::hairline);
  flow.advance(3);
}

void findings(const ReportPass& pass) {
  if (pass.view.job.findings.empty()) return;
  pass.flow.heading("Findings: probable causes, by what hangs on them");
  for (const Finding& each : pass.view.job.findings) finding(pass, each);
}

std::string measured(const Wording& words, const JudgedTest& test, double value, int decimals) {
  return test.has_loss ? words.decimal(value, decimals) : std::string{};
}

void exception_row(const ReportPass& pass, Table& table, const JudgedTest& test) {
  const Assessment& all = pass.view.all;
  const ScheduledStrand& strand = all.schedule[test.strand];
  const Limit* limit = limit_behind(all, test);
  const auto margin = margin_of(all, test);
  const int chip = colour_position(strand.strand).value_or(0);
  const std::array<TableCell, 9> cells{
      {{pass.view.links[pass.view.link_of[test.strand]].name},
       {strand.strand, Ink::ink, std::nullopt, chip},
       {pass.words.plain(test.wavelength.value)},
       {pass.words.say(arrow_of(test.direction))},
       {measured(pass.words, test, test.loss.value, 2)},
       {measured(pass.words, test, test.standard_uncertainty.value, 3), Ink::grey},
       {limit == nullptr ? "" : pass.words.decimal(limit->value.value, 2)},
       {margin ? pass.words.decimal(margin->value, 2) : ""},
       {pass.words.say(text_of(test.outcome)), Ink::ink, test.outcome}}};
  table.row(cells);
}

/// Rows of one strand beyond its limit lead to its block, other rows of one link to the page of the link: as
/// one area, so that a large job does not carry a link for every row.
class RowLinks {
 public:
  explicit RowLinks(Flow& flow) : flow_(flow) {}
  void add(Anchor target, const Box& row) {
    if (continues(target, row.y)) {
      area_.height += row.height;
      return;
    }
    open_ = true;
    target_ = target;
    area_ = row;
  }
  void put() {
    if (open_) flow_.link(area_, target_);
    open_ = false;
  }
  bool continues(Anchor target, double y) const {
    return open_ && target.key() == target_.key() && std::abs(y - (area_.y + area_.height)) < 0.01;
  }

 private:
  Flow& flow_;
  Box area_;
  Anchor target_{AnchorKind::link_page, 0};
  bool open_ = false;
};

/// `own_place`: per strand, whether it has a page or block of its own.
void group(const ReportPass& pass, const ExceptionGroup& each, const std::vector<bool>& own_place) {
  Flow& flow = pass.flow;
  flow.need(110);
  flow.advance(12);
  flow.canvas().mark(each.outcome, {flow.left() + 5, flow.y() + 6.4}, 4);
  flow.advance(10);
  flow.canvas().begin(PageRole::heading);
  flow.canvas().text({{flow.left() + 16, flow.y()}, flow.width() - 16, Align::left}, {Face::serif_bold, 12},
                     Ink::ink,
                     fmt::format("{}: {}", capitalised(pass.words.say(text_of(each.outcome))),
                                 pass.words.say(counted(each.tests.size(), "test"))));
  flow.advance(2);
  flow.paragraph_in({flow.left() + 16, 0, flow.width() - 16, 0}, reason_of(pass.view.all, each, pass.words),
                    body_style, Ink::ink);
  const std::string_view step = next_step_of(each);
  if (!step.empty())
    flow.paragraph_in({flow.left() + 16, 0, flow.width() - 16, 0}, step, note_style, Ink::grey);
  flow.advance(4);
  Table table(flow, {{"link", 2.8},
                     {"strand", 1.7},
                     {"\u03BB, nm", 0.8, Align::right},
                     {"direction", 0.9},
                     {"loss, dB", 1.1, Align::right},
                     {"u, dB", 0.8, Align::right},
                     {"limit, dB", 1, Align::right},
                     {"margin, dB", 1.15, Align::right},
                     {"outcome", 1.7}});
  table.head();
  RowLinks links(flow);
  for (const std::uint32_t index : each.tests) {
    if (pass.flow.stopped()) return;
    const JudgedTest& test = pass.view.all.tests[index];
    const Anchor target = own_place[test.strand]
                              ? Anchor{AnchorKind::strand_exception, test.strand}
                              : Anchor{AnchorKind::link_page, pass.view.link_of[test.strand]};
    if (flow.room() < table.pitch() || !links.continues(target, flow.y())) links.put();
    exception_row(pass, table, test);
    links.add(target, table.last_row());
  }
  links.put();
  table.rule();
}

}  // namespace

void write_exceptions(const ReportPass& pass) {
  pass.flow.section(number_of(Section::exceptions), title_of(Section::exceptions));
  const auto groups = exceptions_of(pass.view);
  if (groups.empty())
    pass.flow.paragraph(pass.view.all.tests.empty() ? "No test was due." : "Every test that was due passed.");
  findings(pass);
  std::vector<bool> own_place(pass.view.all.schedule.size());
  for (const std::uint32_t strand : strand_exceptions(pass.view).strands) own_place[strand] = true;
  for (const ExceptionGroup& each : groups) group(pass, each, own_place);
  write_strand_exceptions(pass);
}

}  // namespace strandbook
