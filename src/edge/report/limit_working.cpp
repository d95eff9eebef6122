#include "edge/report/limit_working.hpp"

#include "edge/report/table.hpp"
#include "edge/report/words.hpp"

namespace strandbook {

void write_limit_working(const ReportPass& pass, const Limit& limit, double indent) {
  Table table(pass.flow,
              {{"term", 2.9},
               {"count", 0.9, Align::right},
               {"each, dB", 0.9, Align::right},
               {"total, dB", 0.9, Align::right},
               {"source and standing", 6.4}},
              7.9, indent);
  table.head();
  for (const LimitTerm& term : limit.working) {
    const bool fibre = term.term == "fibre";
    table.wrapped_row({{pass.words.say(fibre ? "fibre, km" : term.term)},
                       {fibre ? pass.words.decimal(term.count, 4) : pass.words.plain(term.count)},
                       {pass.words.decimal(term.each.value, 2)},
                       {pass.words.decimal(term.total.value, 3)},
                       {source_text(term.source, pass.words),
                        term.source.standing == Standing::from_memory ? Ink::accent : Ink::grey}});
  }
  table.rule(Ink::ink, 0.5);
  table.row({{pass.words.say("limit"), Ink::ink, std::nullopt, 0, Face::sans_bold},
             {},
             {},
             {pass.words.decimal(limit.value.value, 3), Ink::ink, std::nullopt, 0, Face::sans_bold},
             {}});
  for (const std::string& note : limit.notes)
    pass.flow.paragraph_in({pass.flow.left() + indent, 0, pass.flow.width() - indent, 0}, note,
                           {Face::serif_italic, 8.6}, Ink::grey);
}

}  // namespace strandbook
