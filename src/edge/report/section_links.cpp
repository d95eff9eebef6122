// Each link: its tightest test per wavelength as a budget bar, with the working of the limit.

#include <fmt/format.h>

#include <map>
#include <set>

#include "edge/report/budget_bar.hpp"
#include "edge/report/legible.hpp"
#include "edge/report/limit_working.hpp"
#include "edge/report/outcome_mark.hpp"
#include "edge/report/sections.hpp"
#include "edge/report/table.hpp"
#include "edge/report/words.hpp"

namespace strandbook {
namespace {

constexpr double side = 118;  ///< width of the column of figures beside a bar
constexpr TextStyle figure_style{Face::sans, 8};

struct Tightest {
  std::uint32_t test = nothing;
  std::set<double> limits;  ///< distinct limits at this wavelength, dB
  std::size_t tests = 0;
};

/// How well a test stands for its wavelength: judged, then measured, then with a limit only.
int weight_of(const Assessment& all, const JudgedTest& test) {
  if (margin_of(all, test)) return 3;
  if (test.has_loss) return 2;
  return limit_behind(all, test) != nullptr ? 1 : 0;
}

bool tighter(const Assessment& all, std::uint32_t a, std::uint32_t b) {
  if (b == nothing) return true;
  const int weight_a = weight_of(all, all.tests[a]);
  const int weight_b = weight_of(all, all.tests[b]);
  if (weight_a != weight_b) return weight_a > weight_b;
  const auto margin_a = margin_of(all, all.tests[a]);
  const auto margin_b = margin_of(all, all.tests[b]);
  return margin_a && margin_b && *margin_a < *margin_b;
}

std::map<double, Tightest> tightest_of(const ReportedJob& view, const LinkView& link) {
  std::map<double, Tightest> found;
  for (const std::uint32_t index : view.tests_of(link)) {
    const JudgedTest& test = view.all.tests[index];
    Tightest& slot = found[test.wavelength.value];
    ++slot.tests;
    if (const Limit* limit = limit_behind(view.all, test)) slot.limits.insert(limit->value.value);
    if (tighter(view.all, index, slot.test)) slot.test = index;
  }
  return found;
}

std::string span_text(const std::set<double>& lengths, LengthUnit unit, const Wording& words) {
  if (lengths.empty()) return words.say("length not stated");
  std::string least = words.length({*lengths.begin()}, unit);
  if (lengths.size() == 1) return least;
  return least + " " + words.say("to") + " " + words.length({*lengths.rbegin()}, unit);
}

/// "Main rack → Hall 2 · OM4 · 120 m · 24 strands".
std::string description_of(const ReportPass& pass, const LinkView& link) {
  std::set<double> lengths;
  std::set<std::string_view> fibres;
  for (const std::uint32_t index : pass.view.strands_of(link)) {
    const ScheduledStrand& strand = pass.view.all.schedule[index];
    if (strand.length) lengths.insert(strand.length->value);
    if (strand.fibre) fibres.insert(text_of(*strand.fibre));
  }
  const ScheduledStrand& first = pass.view.all.schedule[pass.view.strands_of(link).front()];
  std::string text;
  const auto add = [&text](std::string_view part) {
    if (part.empty()) return;
    if (!text.empty()) text += "  \u00B7  ";
    text += part;
  };
  if (!first.end_a.empty() || !first.end_b.empty()) add(first.end_a + " \u2192 " + first.end_b);
  if (link.cable != link.name) add(link.cable);
  add(link.building);
  for (const std::string_view fibre : fibres) add(pass.words.say(fibre));
  add(span_text(lengths, pass.options.length, pass.words));
  add(pass.words.say(counted(link.strands, "strand")));
  return text;
}

void link_head(const ReportPass& pass, std::uint32_t index) {
  Flow& flow = pass.flow;
  const LinkView& link = pass.view.links[index];
  flow.anchor({AnchorKind::link_page, index});
  flow.outline(legible(link.name), 1);
  flow.advance(17);
  flow.canvas().begin(PageRole::heading);
  flow.canvas().text({{flow.left(), flow.y()}, flow.width() - 96, Align::left}, {Face::serif_bold, 12.5},
                     Ink::ink, link.name);
  flow.canvas().begin(PageRole::paragraph);
  flow.canvas().text(
      {{flow.right(), flow.y()}, 92, Align::right}, {Face::serif_italic, 8.6}, Ink::accent,
      "\u2191 " + pass.words.say("summary, page") + " " + flow.page_of({AnchorKind::summary_row, index}));
  flow.link({flow.right() - 92, flow.y() - 10, 92, 13}, {AnchorKind::summary_row, index});
  flow.advance(12.5);
  flow.canvas().text(
      {{flow.right(), flow.y()}, 110, Align::right}, {Face::serif_italic, 8.6}, Ink::accent,
      "\u2193 " + pass.words.say("all tests, page") + " " + flow.page_of({AnchorKind::strand_rows, index}));
  flow.link({flow.right() - 92, flow.y() - 10, 92, 13}, {AnchorKind::strand_rows, index});
  flow.canvas().begin(PageRole::paragraph);
  flow.canvas().text({{flow.left(), flow.y()}, flow.width() - 100, Align::left}, {Face::serif_italic, 9},
                     Ink::grey, description_of(pass, link));
  flow.canvas().end();
  flow.advance(5);
  flow.canvas().line({flow.left(), flow.y()}, {flow.right(), flow.y()}, 0.6, Ink::ink);
  flow.advance(4);
}

void figure(Canvas& canvas, Point at, std::string_view name, const std::string& value) {
  canvas.text({at}, {Face::serif_italic, 8.2}, Ink::grey, name);
  canvas.text({{at.x + side - 22, at.y}, 76, Align::right}, figure_style, Ink::ink, value);
}

/// The column beside the bar: which test it is, its outcome and its numbers.
void figures(const ReportPass& pass, const JudgedTest& test) {
  const Assessment& all = pass.view.all;
  Canvas& canvas = pass.flow.canvas();
  const double x = pass.flow.left();
  const double y = pass.flow.y();
  const auto margin = margin_of(all, test);
  const double spread = 2 * test.standard_uncertainty.value;
  canvas.begin(PageRole::paragraph);
  canvas.text({{x, y + 8}, side - 8, Align::left}, {Face::serif_bold, 9.4}, Ink::ink,
              pass.words.plain(test.wavelength.value) + " nm");
  canvas.text(
      {{x + 46, y + 8}, side - 60, Align::left}, figure_style, Ink::ink,
      fmt::format("{}, {}", all.schedule[test.strand].strand, pass.words.say(arrow_of(test.direction))));
  canvas.mark(test.outcome, {x + 3.5, y + 16.4}, 3);
  canvas.text({{x + 11, y + 19}, side - 20, Align::left}, {Face::sans_bold, 8.2},
              is_beyond_limit(test.outcome) ? Ink::accent : Ink::ink, pass.words.say(text_of(test.outcome)));
  if (test.has_loss)
    figure(
        canvas, {x, y + 30}, pass.words.say("loss \u00B1 U"),
        fmt::format("{} \u00B1 {}", pass.words.decimal(test.loss.value, 2), pass.words.decimal(spread, 2)));
  if (margin) figure(canvas, {x, y + 40}, pass.words.say("margin"), pass.words.decimal(margin->value, 2));
  if (margin)
    figure(canvas, {x, y + 50}, pass.words.say("probability"), pass.words.probability(test.conformance));
  canvas.end();
}

void wavelength_block(const ReportPass& pass, const Tightest& tightest) {
  Flow& flow = pass.flow;
  const Assessment& all = pass.view.all;
  const JudgedTest& test = all.tests[tightest.test];
  const Limit* limit = limit_behind(all, test);
  const double rows = limit == nullptr ? 2.0 : static_cast<double>(limit->working.size()) + 3.0;
  flow.need(budget_bar_height + rows * 11 + 10);
  figures(pass, test);
  BudgetPicture picture{limit, std::nullopt, 2 * test.standard_uncertainty};
  if (test.has_loss) picture.loss = test.loss;
  const bool drawn = picture.limit != nullptr || picture.loss.has_value();
  const Box bar{flow.left() + side, flow.y(), flow.width() - side, budget_bar_height};
  if (drawn) draw_budget_bar(flow.canvas(), bar, picture, pass.words);
  flow.advance(drawn ? budget_bar_height : 26);
  const Box column{flow.left() + side, 0, flow.width() - side, 0};
  if (limit != nullptr) write_limit_working(pass, *limit, side);
  if (!sentence_of(test.reason).empty())
    flow.paragraph_in(column, sentence_of(test.reason), {Face::serif_italic, 9}, Ink::accent);
  if (test.limit_problem < all.limit_problems.size())
    flow.paragraph_in(column, sentence_of(all.limit_problems[test.limit_problem], pass.words),
                      {Face::serif_italic, 9}, Ink::accent);
  if (tightest.limits.size() > 1)
    flow.paragraph_in(
        column,
        fmt::format("The {} tests at this wavelength have {} limits, {} to {} dB, by length and counts.",
                    count_text(tightest.tests), tightest.limits.size(),
                    decimal_text(*tightest.limits.begin(), 2), decimal_text(*tightest.limits.rbegin(), 2)),
        {Face::serif_italic, 8.6}, Ink::grey);
  flow.advance(8);
}

void link_block(const ReportPass& pass, std::uint32_t index) {
  const auto blocks = tightest_of(pass.view, pass.view.links[index]);
  pass.flow.need(190);
  link_head(pass, index);
  if (blocks.empty())
    pass.flow.paragraph("No wavelength is demanded and none was read: nothing to judge.", note_style,
                        Ink::grey);
  for (const auto& [wavelength, tightest] : blocks) wavelength_block(pass, tightest);
  pass.flow.advance(8);
}

}  // namespace

void write_links(const ReportPass& pass) {
  pass.flow.section(number_of(Section::links), title_of(Section::links));
  pass.flow.paragraph(
      "For each link and wavelength, the test with the least margin. Upper bar: the parts of the limit "
      "(hatched: held "
      "by the reference and so taken away). Lower bar: the loss, with a whisker of \u00B1U. The upright line "
      "is the "
      "limit.",
      note_style, Ink::grey);
  if (pass.view.links.empty()) pass.flow.paragraph("The schedule lists no link.");
  for (std::uint32_t i = 0; i < pass.view.links.size() && !pass.flow.stopped(); ++i) link_block(pass, i);
}

}  // namespace strandbook
