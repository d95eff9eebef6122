// Every test on one line.

#include <array>

#include "edge/report/legible.hpp"
#include "edge/report/outcome_mark.hpp"
#include "edge/report/sections.hpp"
#include "edge/report/strand_colour.hpp"
#include "edge/report/table.hpp"

namespace strandbook {
namespace {

/// What is printed only where it changes: link and strand go grey while they stay the same.
struct Previous {
  std::uint32_t link = nothing;
  std::uint32_t strand = nothing;
};

std::vector<Column> columns() {
  return {{"link", 1.95},
          {"strand", 1.1},
          {"colour", 2.05},
          {"\u03BB, nm", 0.75, Align::right},
          {"direction", 0.9},
          {"loss, dB", 0.95, Align::right},
          {"u, dB", 0.8, Align::right},
          {"limit, dB", 0.9, Align::right},
          {"margin, dB", 1, Align::right},
          {"probability", 1.1, Align::right},
          {"outcome", 2.3}};
}

void test_row(const ReportPass& pass, Table& table, const JudgedTest& test, const Previous& previous) {
  const Assessment& all = pass.view.all;
  const ScheduledStrand& strand = all.schedule[test.strand];
  const std::uint32_t link = pass.view.link_of[test.strand];
  const Limit* limit = limit_behind(all, test);
  const auto margin = margin_of(all, test);
  const int colour = colour_position(strand.strand).value_or(0);
  const bool again = previous.strand == test.strand;
  const Ink outcome_ink = is_beyond_limit(test.outcome) ? Ink::accent : Ink::ink;
  const std::array<TableCell, 11> cells{
      {{pass.view.links[link].name, previous.link == link ? Ink::faint : Ink::ink},
       {strand.strand, again ? Ink::faint : Ink::ink},
       {again || colour == 0 ? "" : pass.words.say(colour_name(colour)), Ink::grey, std::nullopt,
        again ? 0 : colour},
       {pass.words.plain(test.wavelength.value)},
       {pass.words.say(arrow_of(test.direction))},
       {test.has_loss ? pass.words.decimal(test.loss.value, 2) : ""},
       {test.has_loss ? pass.words.decimal(test.standard_uncertainty.value, 3) : "", Ink::grey},
       {limit == nullptr ? "" : pass.words.decimal(limit->value.value, 2)},
       {margin ? pass.words.decimal(margin->value, 2) : "",
        margin && margin->value < 0 ? Ink::accent : Ink::ink},
       {margin ? pass.words.probability(test.conformance) : "", Ink::grey},
       {pass.words.say(text_of(test.outcome)), outcome_ink, test.outcome}}};
  table.row(cells);
}

}  // namespace

void write_strands(const ReportPass& pass) {
  Flow& flow = pass.flow;
  flow.section(number_of(Section::strands), title_of(Section::strands));
  flow.paragraph(
      "One line per test. u is the standard uncertainty (k = 1), U = 2u; the colour is that of the TIA-598 "
      "sequence for "
      "the number a strand's name ends in (1 to 24), to find it in the cable.",
      note_style, Ink::grey);
  Table table(flow, columns(), 7.8);
  table.head();
  Previous previous;
  std::uint32_t shown = nothing;
  for (const std::uint32_t index : pass.view.tests) {
    if (flow.stopped()) return;
    const JudgedTest& test = pass.view.all.tests[index];
    if (previous.strand != test.strand && previous.strand != nothing) table.rule();
    if (flow.room() < table.pitch()) previous = {};
    const std::uint32_t link = pass.view.link_of[test.strand];
    const bool begins = link != shown;
    test_row(pass, table, test, previous);
    if (begins) {
      const Box row = table.last_row();
      flow.anchor({AnchorKind::strand_rows, link});
      flow.link({row.x, row.y, row.width * 0.25, row.height}, {AnchorKind::link_page, link});
    }
    shown = link;
    previous = {link, test.strand};
  }
  table.rule(Ink::ink, 0.5);
}

}  // namespace strandbook
