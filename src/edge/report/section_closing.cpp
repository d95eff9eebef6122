// Rows kept but not used, cautions, what rests on memory, signatures.

#include <fmt/format.h>

#include <array>

#include "edge/report/legible.hpp"
#include "edge/report/sections.hpp"
#include "edge/report/table.hpp"
#include "edge/report/words.hpp"

namespace strandbook {
namespace {

void unread_rows(const ReportPass& pass) {
  const auto& rows = pass.view.job.unread_rows;
  pass.flow.heading(fmt::format("Rows that could not be read: {}", count_text(rows.size())));
  if (rows.empty()) return;
  Table table(pass.flow, {{"place", 2.6}, {"found", 2.6}, {"expected", 2.4}, {"what to do", 2.4}});
  table.head();
  for (const Problem& row : rows) {
    if (pass.flow.stopped()) return;
    table.wrapped_row({{pass.words.say(describe(row.at))},
                       {pass.words.cell(row.found)},
                       {pass.words.say(row.wanted)},
                       {pass.words.say(row.advice), Ink::grey}});
    table.rule();
  }
}

std::string meaning_of(const UnmatchedReading& row, const Wording& words) {
  if (row.proposal.empty()) return {};
  return row.proposal + (row.by.empty() ? "" : " (" + words.say("alike by") + " " + words.say(row.by) + ")");
}

void unmatched(const ReportPass& pass) {
  const Assessment& all = pass.view.all;
  pass.flow.heading(
      fmt::format("Readings that belong to no planned test: {}", count_text(all.unmatched.size())));
  if (all.unmatched.empty()) return;
  Table table(pass.flow, {{"place", 2.4},
                          {"link", 1.4},
                          {"strand", 1.2},
                          {"\u03BB, nm", 0.7, Align::right},
                          {"value", 1, Align::right},
                          {"why", 2.2},
                          {"may have meant", 2}});
  table.head();
  for (const UnmatchedReading& row : all.unmatched) {
    if (pass.flow.stopped()) return;
    if (row.reading >= all.readings.rows.size()) continue;
    const Reading& reading = all.readings.rows[row.reading];
    table.wrapped_row({{pass.words.say(describe(all.readings.place_of(reading)))},
                       {std::string(reading.link)},
                       {std::string(reading.strand)},
                       {reading.wavelength.value > 0 ? pass.words.plain(reading.wavelength.value) : "\u2014"},
                       {value_text(reading, pass.words)},
                       {pass.words.say(row.why)},
                       {meaning_of(row, pass.words), Ink::grey}});
    table.rule();
  }
}

void notes(const ReportPass& pass) {
  const auto& rows = pass.view.job.notes;
  if (rows.empty()) return;
  pass.flow.heading("How the files were understood");
  Table table(pass.flow, {{"file", 2}, {"sheet", 1}, {"note", 6}});
  table.head();
  for (const ImportNote& note : rows) {
    table.wrapped_row({{note.file}, {note.sheet}, {pass.words.say(note.text)}});
    table.rule();
  }
}

void repeats(const ReportPass& pass) {
  std::size_t tests = 0;
  std::size_t readings = 0;
  for (const JudgedTest& test : pass.view.all.tests) {
    tests += test.other_readings > 0 ? 1 : 0;
    readings += test.other_readings;
  }
  if (tests > 0)
    pass.flow.paragraph(fmt::format(
        "Tests with more than one reading: {}. The latest valid one counts; other readings kept: {}.",
        count_text(tests), count_text(readings)));
  if (!pass.view.all.tidied.empty())
    pass.flow.paragraph(
        fmt::format("Readings matched although the name was written differently (case, blanks, or in a way "
                    "that a person confirmed): {}.",
                    count_text(pass.view.all.tidied.size())));
}

struct Caution {
  std::string_view title;
  std::string_view text;
};

constexpr std::array<Caution, 5> cautions{{
    {"Invisible light",
     "Never look into a fibre, a connector or a microscope without a filter. The light of these sources "
     "cannot be "
     "seen. Treat every port as live until it was measured dark."},
    {"Glass",
     "Bare fibre breaks into splinters that are hard to see and to remove. Wear glasses, put every piece "
     "into a sharps "
     "box, and keep food and drink away."},
    {"Solvent",
     "Cleaning solvent is flammable. Ventilate, keep it from live ports and sparks, and let plugs dry."},
    {"Heights, confined spaces, power",
     "Ladders, lifts, manholes and power nearby are under the rules of the site. Nobody tests alone where "
     "these forbid "
     "it."},
    {"Local codes",
     "Local codes and licensed practice prevail over this report. It states the loss of links; it gives no "
     "leave to "
     "work on them."},
}};

struct Recalled {
  std::size_t numbers = 0;
  std::size_t contributions = 0;
};

void recalled_numbers(const ReportPass& pass, Recalled& recalled) {
  Table table(pass.flow, {{"number", 1.7},
                          {"value", 1.1, Align::right},
                          {"document", 2},
                          {"tests", 1, Align::right},
                          {"note", 3.6}});
  for (const UsedNumber& number : used_numbers(pass.view.all)) {
    if (number.source.standing != Standing::from_memory) continue;
    if (recalled.numbers++ == 0) table.head();
    table.wrapped_row({{pass.words.say(number.term)},
                       {fmt::format("{} {}", pass.words.decimal(number.each.value, 2),
                                    number.term == "fibre" ? "dB/km" : "dB")},
                       {pass.words.say(document_of(number.source))},
                       {count_text(number.tests)},
                       {pass.words.say(number.source.note), Ink::grey}});
    table.rule();
  }
}

std::string recalled_contributions(const UncertaintyModel& model, const Wording& words) {
  std::string names;
  for (const ContributionRow& row : model) {
    const std::string name = words.say(row.name);
    if (row.source.standing != Standing::from_memory || names.find(name) != std::string::npos) continue;
    names += (names.empty() ? "" : ", ") + name;
  }
  return names;
}

void signature(Flow& flow, std::string_view role) {
  flow.need(74);
  flow.advance(50);
  const double third = flow.width() / 3;
  flow.canvas().begin(PageRole::paragraph);
  flow.canvas().text({{flow.left(), flow.y() - 30}}, {Face::serif_bold, 11}, Ink::ink,
                     flow.words().say(role));
  const std::array<std::string_view, 3> fields{"name", "signature", "place and date"};
  for (std::size_t i = 0; i < fields.size(); ++i) {
    const double x = flow.left() + third * static_cast<double>(i);
    flow.canvas().line({x, flow.y()}, {x + third - 14, flow.y()}, 0.6, Ink::ink);
    flow.canvas().text({{x, flow.y() + 11}}, note_style, Ink::grey, flow.words().say(fields[i]));
  }
  flow.canvas().end();
  flow.advance(20);
}

}  // namespace

void write_kept_rows(const ReportPass& pass) {
  pass.flow.section(number_of(Section::kept_rows), title_of(Section::kept_rows));
  pass.flow.paragraph("Nothing that was handed in is lost: what could not be read or matched stands here.");
  repeats(pass);
  unread_rows(pass);
  unmatched(pass);
  notes(pass);
}

void write_cautions(const ReportPass& pass) {
  pass.flow.section(number_of(Section::cautions), title_of(Section::cautions));
  for (const Caution& caution : cautions) {
    pass.flow.need(50);
    pass.flow.paragraph(caution.title, {Face::serif_bold, 11});
    pass.flow.advance(-6);
    pass.flow.paragraph(caution.text);
  }
}

void write_memory(const ReportPass& pass) {
  Flow& flow = pass.flow;
  flow.section_here(number_of(Section::memory), title_of(Section::memory));
  flow.paragraph(
      "The numbers below were recalled, not compared with the document they stand for. Check them before an "
      "outcome "
      "that rests on them is used in a dispute.");
  Recalled recalled;
  recalled_numbers(pass, recalled);
  if (recalled.numbers == 0) flow.paragraph("No limit in this report rests on a number from memory.");
  const std::string names = recalled_contributions(pass.options.uncertainty, pass.words);
  if (!names.empty()) {
    flow.advance(6);
    flow.paragraph(
        fmt::format("Contributions to the uncertainty that are typical values from memory: {}. Put the "
                    "figures of the instruments and cords in use in their place.",
                    names));
  }
}

void write_signatures(const ReportPass& pass) {
  Flow& flow = pass.flow;
  flow.section_here(number_of(Section::signatures), title_of(Section::signatures), 330);
  flow.paragraph("What is signed is this report as a whole, with every row that was kept and not used.");
  for (const std::string_view role : {"Tested by", "Checked by", "Accepted for the owner"})
    signature(flow, role);
}

}  // namespace strandbook
