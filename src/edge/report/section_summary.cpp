// Counts by building, cable and link, with every strand as a mark.

#include <fmt/format.h>

#include <map>

#include "edge/report/legible.hpp"
#include "edge/report/outcome_mark.hpp"
#include "edge/report/sections.hpp"
#include "edge/report/table.hpp"
#include "edge/report/words.hpp"

namespace strandbook {
namespace {

constexpr std::size_t marks_per_line = 24;
constexpr double mark_pitch = 7.4;
constexpr TextStyle cell_style{Face::sans, 8.2};
constexpr TextStyle faint_style{Face::serif_italic, 8.4};

/// Short heads for columns of counts: the shape, then the word below it.
constexpr std::string_view short_word(Outcome outcome) {
  switch (outcome) {
    case Outcome::pass:
      return "pass";
    case Outcome::conditional_pass:
      return "cond. pass";
    case Outcome::conditional_fail:
      return "cond. fail";
    case Outcome::fail:
      return "fail";
    case Outcome::not_tested:
      return "not tested";
    case Outcome::invalid:
      return "invalid";
  }
  return {};
}

/// In other languages the word for a narrow column stands in the catalogue by itself.
std::string head_word(Outcome outcome, const Wording& words) {
  const std::string english(short_word(outcome));
  return words.language().said ? words.say(english + ", as a head") : english;
}

std::string number_or_dot(std::size_t count) { return count == 0 ? "\u00B7" : count_text(count); }

struct Group {
  std::size_t links = 0;
  std::size_t strands = 0;
  OutcomeCounts counts;
  void add(const LinkView& link) {
    ++links;
    strands += link.strands;
    counts.add(link.counts);
  }
};

void group_table(const ReportPass& pass, std::string_view title, const std::map<std::string, Group>& groups) {
  const bool tells_nothing = groups.size() < 2 && (groups.empty() || groups.begin()->first.empty());
  if (tells_nothing || (groups.size() > 1 && groups.size() == pass.view.links.size())) return;
  pass.flow.heading(title == "building" ? "By building" : "By cable");
  std::vector<Column> columns{
      {std::string(title), 2.6}, {"links", 0.7, Align::right}, {"strands", 0.8, Align::right}};
  for (const Outcome outcome : all_outcomes)
    columns.push_back({std::string(text_of(outcome)), 1, Align::right});
  Table table(pass.flow, columns, 8.4);
  table.head();
  for (const auto& [name, group] : groups) {
    std::vector<TableCell> cells{
        {name.empty() ? pass.words.say("not stated") : name, name.empty() ? Ink::grey : Ink::ink},
        {count_text(group.links)},
        {count_text(group.strands)}};
    for (const Outcome outcome : all_outcomes) {
      const std::size_t count = group.counts.count(outcome);
      cells.push_back({number_or_dot(count), count == 0                 ? Ink::faint
                                             : is_beyond_limit(outcome) ? Ink::accent
                                                                        : Ink::ink});
    }
    table.row(cells);
    table.rule();
  }
}

void groups(const ReportPass& pass) {
  std::map<std::string, Group> buildings;
  std::map<std::string, Group> cables;
  for (const LinkView& link : pass.view.links) {
    buildings[link.building].add(link);
    cables[link.cable].add(link);
  }
  group_table(pass, "building", buildings);
  group_table(pass, "cable", cables);
}

/// The table of links: name, strip of strands, counts, worst margin. Positions of its columns.
struct LinkColumns {
  double name;
  double name_room;
  double strip;
  double counts;
  double counts_pitch;
  double margin;
};

LinkColumns columns_of(const Flow& flow) {
  const double strip = marks_per_line * mark_pitch + 14;
  const double counts_pitch = 25;
  const double margin = flow.right();
  const double counts = margin - 42 - 5 * counts_pitch;
  const double strip_left = counts - counts_pitch - strip + 6;
  return {flow.left(), strip_left - flow.left() - 8, strip_left, counts, counts_pitch, margin};
}

void head(Flow& flow, const LinkColumns& at) {
  const double base = flow.y() + 21;
  Canvas& canvas = flow.canvas();
  canvas.begin(PageRole::paragraph);
  canvas.text({{at.name, base}, at.name_room, Align::left}, faint_style, Ink::grey, flow.words().say("link"));
  canvas.text({{at.strip, base}}, faint_style, Ink::grey,
              flow.words().say("strands, in order of the schedule"));
  double x = at.counts;
  for (const Outcome outcome : all_outcomes) {
    const auto lines =
        canvas.typesetter().wrapped({Face::serif_italic, 7.4}, head_word(outcome, flow.words()), 24);
    double y = base - 7 * static_cast<double>(lines.size() - 1);
    canvas.mark(outcome, {x - 4, y - 11}, 2.8);
    for (const std::string& line : lines) {
      canvas.text({{x, y}, 30, Align::right}, {Face::serif_italic, 7.4}, Ink::grey, line);
      y += 7;
    }
    x += at.counts_pitch;
  }
  canvas.text({{at.margin, base - 7}, 40, Align::right}, {Face::serif_italic, 7.4}, Ink::grey,
              flow.words().say("worst"));
  canvas.text({{at.margin, base}, 40, Align::right}, {Face::serif_italic, 7.4}, Ink::grey,
              flow.words().say("margin, dB"));
  canvas.end();
  flow.advance(25);
  canvas.line({flow.left(), flow.y()}, {flow.right(), flow.y()}, 0.6, Ink::ink);
  flow.advance(3);
}

/// "Strands 1 to 24: 22 pass, 2 fail." for whoever cannot see the marks.
std::string strip_told(const ReportPass& pass, std::span<const std::uint32_t> strands, std::size_t first) {
  std::map<StrandOutcome, std::size_t> counts;
  for (const std::uint32_t strand : strands) ++counts[pass.view.worst_of[strand]];
  std::string list;
  for (const auto& [outcome, count] : counts)
    list += fmt::format("{}{} {}", list.empty() ? "" : ", ", count,
                        pass.words.say(outcome ? text_of(*outcome) : "nothing due"));
  return pass.words.say(fmt::format("Strands {} to {}: {}.", first + 1, first + strands.size(), list));
}

void strip_line(const ReportPass& pass, std::span<const std::uint32_t> strands, std::size_t first, double x) {
  Canvas& canvas = pass.flow.canvas();
  const double middle = pass.flow.y() + 5.4;
  canvas.figure([&] { return strip_told(pass, strands, first); });
  for (std::size_t i = 0; i < strands.size(); ++i) {
    const double centre = x + mark_pitch * (static_cast<double>(i) + 0.5) + (i >= 12 ? 5.0 : 0.0);
    const StrandOutcome& outcome = pass.view.worst_of[strands[i]];
    if (outcome) {
      canvas.mark(*outcome, {centre, middle}, 2.7);
    } else {
      canvas.line({centre - 1.5, middle}, {centre + 1.5, middle}, 0.5, Ink::faint);
    }
  }
  if (first > 0)
    canvas.text({{x - 3, middle + 2}, 30, Align::right}, {Face::sans, 6}, Ink::faint,
                std::to_string(first + 1));
  canvas.end();
}

void link_figures(const ReportPass& pass, const LinkView& link, const LinkColumns& at) {
  Canvas& canvas = pass.flow.canvas();
  const double base = pass.flow.y() + 8;
  canvas.begin(PageRole::paragraph);
  canvas.text({{at.name, base}, at.name_room, Align::left}, cell_style, Ink::ink, link.name);
  double x = at.counts;
  for (const Outcome outcome : all_outcomes) {
    const std::size_t count = link.counts.count(outcome);
    const Ink ink = count == 0 ? Ink::faint : is_beyond_limit(outcome) ? Ink::accent : Ink::ink;
    canvas.text({{x, base}, at.counts_pitch, Align::right}, cell_style, ink, number_or_dot(count));
    x += at.counts_pitch;
  }
  if (link.tightest == nothing) return;
  const Decibels margin = *margin_of(pass.view.all, pass.view.all.tests[link.tightest]);
  canvas.text({{at.margin, base}, 40, Align::right}, cell_style, margin.value < 0 ? Ink::accent : Ink::ink,
              pass.words.decimal(margin.value, 2));
}

void link_row(const ReportPass& pass, std::uint32_t index, const LinkColumns& at) {
  Flow& flow = pass.flow;
  const LinkView& link = pass.view.links[index];
  const auto strands = pass.view.strands_of(link);
  for (std::size_t first = 0; first == 0 || first < strands.size(); first += marks_per_line) {
    if (flow.need(11)) head(flow, at);
    if (first == 0) {
      flow.anchor({AnchorKind::summary_row, index});
      flow.link({flow.left(), flow.y(), flow.width(), 11}, {AnchorKind::link_page, index});
      link_figures(pass, link, at);
    }
    strip_line(pass, strands.subspan(first, std::min(marks_per_line, strands.size() - first)), first,
               at.strip);
    flow.advance(10.8);
  }
  flow.canvas().line({flow.left(), flow.y()}, {flow.right(), flow.y()}, 0.3, Ink::hairline);
}

void links(const ReportPass& pass) {
  Flow& flow = pass.flow;
  flow.heading("By link");
  flow.paragraph(
      "One mark per strand, 24 to a line: the worst outcome of its wavelengths and directions. Counts are "
      "tests; the "
      "worst margin is the least limit \u2212 loss among the tests with a verdict.",
      note_style, Ink::grey);
  const LinkColumns at = columns_of(flow);
  flow.need(60);
  head(flow, at);
  for (std::uint32_t i = 0; i < pass.view.links.size(); ++i) link_row(pass, i, at);
}

}  // namespace

void write_summary(const ReportPass& pass) {
  pass.flow.section(number_of(Section::summary), title_of(Section::summary));
  pass.flow.paragraph(verdict_of(pass.view.all, pass.words), {Face::serif, 12.5});
  if (pass.view.links.empty()) return;
  groups(pass);
  links(pass);
}

}  // namespace strandbook
