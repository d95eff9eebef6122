// What was judged by: rule sets, every number used, decision rule, reference method, uncertainty.

#include <fmt/format.h>

#include <map>

#include "edge/report/legible.hpp"
#include "edge/report/outcome_mark.hpp"
#include "edge/report/sections.hpp"
#include "edge/report/table.hpp"
#include "edge/report/words.hpp"

namespace strandbook {
namespace {

constexpr std::size_t most_values_listed = 12;

/// One line of the table: numbers of one term and source, a few by themselves, many as a range.
struct NumberLine {
  const UsedNumber* least = nullptr;
  const UsedNumber* most = nullptr;
  std::size_t values = 0;
  std::size_t tests = 0;
};

/// Numbers of one term and source stand in a row: by wavelength and value, or as a range where there are
/// many.
std::vector<NumberLine> lines_of(const std::vector<UsedNumber>& numbers) {
  std::map<std::string, std::vector<const UsedNumber*>> origins;
  for (const UsedNumber& number : numbers)
    origins[number.term + '\x1f' + describe(number.source) + '\x1f' + number.source.note].push_back(&number);
  std::vector<NumberLine> lines;
  for (const auto& [origin, alike] : origins) {
    const bool joins = alike.size() > most_values_listed;
    for (const UsedNumber* number : alike) {
      if (!joins || number == alike.front()) lines.push_back({number, number, 0, 0});
      NumberLine& line = lines.back();
      line.most = number;  // numbers of one origin rise
      ++line.values;
      line.tests += number->tests;
    }
  }
  return lines;
}

std::string value_text(const NumberLine& line, const Wording& words) {
  const char* unit = line.least->term == "fibre" ? "dB/km" : "dB";
  const auto number = [&words](Decibels each) { return words.decimal(each.value, 2); };
  if (line.values == 1) return fmt::format("{} {}", number(line.least->each), unit);
  return words.say(fmt::format("{} to {} {} ({} values)", number(line.least->each), number(line.most->each),
                               unit, line.values));
}

/// Of a part: what it is, what it leaves out, and the outcomes of both side by side.
void part_of_job(const ReportPass& pass) {
  if (!pass.options.part) return;
  const PartOfJob& part = *pass.options.part;
  const Wording& words = pass.words;
  pass.flow.heading("Part of the job that is reported");
  pass.flow.paragraph(fmt::format("Reported: {}.", scope_text(part.scope, words)));
  pass.flow.paragraph(fmt::format("Left out: {}.", left_out_text(part, pass.view, words)));
  pass.flow.paragraph(
      "Every total in this report is that of the part. Rows that could not be read, readings that match no "
      "test and certificates are those of the whole job, as nothing tells which part they belong to.",
      note_style, Ink::grey);
  Table table(pass.flow, {{"outcome", 2},
                          {"this part", 1, Align::right},
                          {"left out", 1, Align::right},
                          {"whole job", 1, Align::right},
                          {"", 3}});
  table.head();
  for (const Outcome outcome : all_outcomes) {
    const std::size_t here = pass.view.all.summary.count(outcome);
    const std::size_t whole = part.whole.tests.count(outcome);
    table.row({{words.say(text_of(outcome)), Ink::ink, outcome},
               {count_text(here)},
               {count_text(whole - here), Ink::grey},
               {count_text(whole), Ink::grey}});
    table.rule();
  }
  table.row({{words.say("tests"), Ink::ink, std::nullopt, 0, Face::sans_bold},
             {count_text(pass.view.all.summary.planned), Ink::ink, std::nullopt, 0, Face::sans_bold},
             {count_text(part.whole.tests.planned - pass.view.all.summary.planned), Ink::grey},
             {count_text(part.whole.tests.planned), Ink::grey}});
}

void rule_sets(const ReportPass& pass) {
  pass.flow.heading("Rule sets");
  for (const RuleSet* rule : pass.view.all.rules) {
    if (rule == nullptr) continue;
    pass.flow.paragraph(title_of(*rule, pass.words));
    if (!rule->note.empty()) pass.flow.paragraph(rule->note, note_style, Ink::grey);
  }
  if (pass.view.all.rules.empty())
    pass.flow.paragraph(
        "No rule set gave a limit: each limit is stated by the schedule or by the job, or there is none.");
}

void numbers(const ReportPass& pass) {
  const auto used = used_numbers(pass.view.all);
  if (used.empty()) return;
  pass.flow.heading("Every number the limits rest on");
  Table table(pass.flow, {{"term", 1.75},
                          {"wavelength, nm", 1.1},
                          {"value", 1.2, Align::right},
                          {"tests", 1, Align::right},
                          {"document and clause", 2.6},
                          {"standing", 1.3},
                          {"note", 3}});
  table.head();
  for (const NumberLine& line : lines_of(used)) {
    const UsedNumber& number = *line.least;
    const bool recalled = number.source.standing == Standing::from_memory;
    std::string origin = document_of(number.source);
    if (!number.source.clause.empty())
      origin += (origin.empty() ? "" : ", ") + pass.words.say(number.source.clause);
    table.wrapped_row({{pass.words.say(number.term)},
                       {pass.words.wavelengths(number.wavelengths)},
                       {value_text(line, pass.words)},
                       {count_text(line.tests)},
                       {origin},
                       {pass.words.say(text_of(number.source.standing)), recalled ? Ink::accent : Ink::ink},
                       {pass.words.say(number.source.note), Ink::grey}});
    table.rule();
  }
}

void decision(const ReportPass& pass) {
  pass.flow.heading("Decision rule");
  const DecisionRuleText text = decision_rule_of(pass.view.all.guard);
  pass.flow.paragraph(text.rule);
  for (const auto& [outcome, line] : text.lines) {
    pass.flow.need(15);
    pass.flow.advance(14);
    const double y = pass.flow.y() - 3;
    pass.flow.canvas().mark(outcome, {pass.flow.left() + 8, y - 3.4}, 3.6);
    pass.flow.canvas().begin(PageRole::paragraph);
    pass.flow.canvas().text({{pass.flow.left() + 20, y}, 130, Align::left}, body_style, Ink::ink,
                            pass.words.say(text_of(outcome)));
    pass.flow.canvas().text({{pass.flow.left() + 160, y}, pass.flow.width() - 160, Align::left}, body_style,
                            Ink::ink, pass.words.say(line));
  }
  pass.flow.canvas().end();
  pass.flow.advance(5);
  for (const std::string& line : text.remarks) pass.flow.paragraph(line);
}

void methods(const ReportPass& pass) {
  std::map<ReferenceMethod, std::size_t> known;
  std::size_t unstated = 0;
  for (const Reference& reference : pass.view.all.references) {
    if (reference.method) {
      ++known[*reference.method];
    } else {
      ++unstated;
    }
  }
  for (const ScheduledStrand& strand : pass.view.all.schedule)
    if (strand.method) known.try_emplace(*strand.method, 0);
  pass.flow.heading("Reference method");
  for (const auto& [method, count] : known)
    pass.flow.paragraph(fmt::format(
        "{}: {}; {}.", capitalised(pass.words.say(text_of(method))), pass.words.say(meaning_of(method)),
        pass.words.say(count == 0   ? std::string("demanded by the schedule")
                       : count == 1 ? std::string("1 reference so taken")
                                    : count_text(count) + " references so taken")));
  if (unstated > 0)
    pass.flow.paragraph(
        fmt::format("References without a stated method: {}. The method of the schedule, the job or the rule "
                    "holds for them; where none states one, no outcome is given.",
                    count_text(unstated)));
  if (known.empty() && unstated == 0)
    pass.flow.paragraph(
        "No reference is recorded; losses were read or computed by the meter. The method is that of "
        "the schedule, the job or the rule; where none states one, no outcome is given.");
}

std::string spread_text(const ContributionRow& row, const Wording& words) {
  std::string text = words.say(text_of(row.spread));
  if (row.spread == Spread::normal) text += ", k = " + words.plain(row.coverage);
  return text;
}

std::string applies_to(const ContributionRow& row, const Wording& words) {
  std::string text = words.say(row.mode ? text_of(*row.mode) : "both modes");
  if (row.wavelength) text += ", " + words.plain(row.wavelength->value) + " nm";
  text += "; " + words.say(row.shared == SharedBy::session ? "shared by a session" : "each reading");
  if (row.enters == Enters::instruments_differ) text += "; " + words.say("where meter or setting differ");
  if (row.enters == Enters::without_closing_check) text += "; " + words.say("without a closing check");
  return text;
}

void uncertainty(const ReportPass& pass) {
  pass.flow.heading("Uncertainty");
  pass.flow.paragraph(
      "The standard uncertainty u of a loss combines independent contributions as root sum of squares (JCGM "
      "100:2008). "
      "What a session shares \u2014 reference, cords, wavelength, launch \u2014 is not made smaller by "
      "averaging.");
  if (pass.options.uncertainty.empty()) return;
  Table table(pass.flow, {{"contribution", 2.4},
                          {"\u00B1 half-width", 1.4, Align::right},
                          {"distribution", 1.3},
                          {"holds for", 3},
                          {"standing", 1.3},
                          {"source", 1.6}});
  table.head();
  for (const ContributionRow& row : pass.options.uncertainty) {
    const bool recalled = row.source.standing == Standing::from_memory;
    table.wrapped_row(
        {{pass.words.say(row.name)},
         {fmt::format("{} {}", pass.words.plain(row.half_width), pass.words.say(unit_of(row.scale)))},
         {spread_text(row, pass.words)},
         {applies_to(row, pass.words)},
         {pass.words.say(text_of(row.source.standing)), recalled ? Ink::accent : Ink::ink},
         {document_of(row.source) +
          (row.source.clause.empty() ? "" : ", " + pass.words.say(row.source.clause))}});
    table.rule();
  }
}

}  // namespace

void write_scope(const ReportPass& pass) {
  pass.flow.section(number_of(Section::scope), title_of(Section::scope));
  part_of_job(pass);
  rule_sets(pass);
  decision(pass);
  methods(pass);
  numbers(pass);
  uncertainty(pass);
}

}  // namespace strandbook
