// Certificates: all about one link on one page.

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "domain/readings/reference_finder.hpp"
#include "edge/report/budget_bar.hpp"
#include "edge/report/certificate_tests.hpp"
#include "edge/report/certificates.hpp"
#include "edge/report/legible.hpp"
#include "edge/report/outcome_mark.hpp"
#include "edge/report/pdf_file.hpp"
#include "edge/report/qr_code.hpp"
#include "edge/report/sections.hpp"
#include "edge/report/words.hpp"

namespace strandbook {
namespace {

constexpr double code_side = 74;  ///< QR code, points: 26 mm
constexpr double signatures_height = 92;

std::string joined_names(const std::set<std::string>& names) {
  std::string text;
  for (const std::string& name : names) text += (text.empty() ? "" : ", ") + name;
  return text;
}

/// "Label  value" on one or two lines of the block of facts.
void fact(const ReportPass& pass, std::string_view label, const std::string& value) {
  if (value.empty()) return;
  Flow& flow = pass.flow;
  constexpr TextStyle style{Face::serif, 9.4};
  auto lines = flow.canvas().typesetter().wrapped(style, value, flow.width() - 100);
  if (lines.size() > 2) {
    lines.resize(2);
    lines[1] += "\u2026";
  }
  flow.canvas().begin(PageRole::paragraph);
  flow.canvas().text({{flow.left(), flow.y() + 9}, 96, Align::left}, {Face::serif_italic, 9}, Ink::grey,
                     pass.words.say(label));
  for (const std::string& line : lines) {
    flow.advance(11.6);
    flow.canvas().text({{flow.left() + 100, flow.y() - 2.6}, flow.width() - 99, Align::left}, style, Ink::ink,
                       line);
  }
  flow.advance(1.2);
  flow.canvas().line({flow.left(), flow.y()}, {flow.right(), flow.y()}, 0.3, Ink::hairline);
  flow.advance(1.2);
}

void certificate_head(const ReportPass& pass, const LinkView& link, const std::string& base_address) {
  Flow& flow = pass.flow;
  Canvas& canvas = flow.canvas();
  const double room = flow.width() - code_side - 14;
  canvas.begin(PageRole::section);
  canvas.begin(PageRole::title);
  canvas.text({{flow.left(), flow.y() - 14}, room, Align::left}, {Face::serif_italic, 11}, Ink::accent,
              pass.words.say("Certificate of one link: insertion loss"));
  canvas.text({{flow.left(), flow.y() + 14}, room, Align::left}, {Face::serif, 25}, Ink::ink, link.name);
  std::string below = pass.view.job.name;
  if (!pass.options.site.empty()) below += (below.empty() ? "" : ", ") + pass.options.site;
  canvas.begin(PageRole::paragraph);
  canvas.text({{flow.left(), flow.y() + 32}, room, Align::left}, {Face::serif, 11}, Ink::grey, below);
  canvas.code(qr_rows(code_text(base_address, link.name)),
              {flow.right() - code_side, flow.y() - 24, code_side, code_side});
  flow.advance(56);
  canvas.line({flow.left(), flow.y()}, {flow.right(), flow.y()}, 1.4, Ink::ink);
  canvas.line({flow.left(), flow.y() + 2.6}, {flow.right(), flow.y() + 2.6}, 0.4, Ink::ink);
  flow.advance(7);
}

struct LinkTrail {
  std::set<std::uint32_t> references;
  std::set<std::string> sources, meters, cords, people, rules, methods;
  std::size_t recalled = 0;
};

std::string rule_of(const ReportedJob& view, const ScheduledStrand& strand, const Wording& words) {
  for (const RuleSet* rule : view.all.rules)
    if (rule != nullptr && (strand.rule.empty() || rule->id == strand.rule)) return title_of(*rule, words);
  return strand.rule;
}

LinkTrail trail_of(const ReportPass& pass, const LinkView& link) {
  const Assessment& all = pass.view.all;
  LinkTrail trail;
  const auto note = [](std::set<std::string>& into, std::string_view text) {
    if (!text.empty()) into.emplace(text);
  };
  for (const std::uint32_t strand : pass.view.strands_of(link))
    note(trail.rules, rule_of(pass.view, all.schedule[strand], pass.words));
  for (const std::uint32_t index : pass.view.tests_of(link)) {
    const JudgedTest& test = all.tests[index];
    if (test.reference < all.references.size()) trail.references.insert(test.reference);
    const Limit* limit = limit_behind(all, test);
    if (test.judged() && limit != nullptr && rests_on_memory(*limit)) ++trail.recalled;
    if (test.reading >= all.readings.rows.size()) continue;
    const Reading& reading = all.readings.rows[test.reading];
    note(trail.sources, reading.source);
    note(trail.meters, reading.meter);
    note(trail.cords, reading.cords);
    note(trail.people, reading.operator_name);
  }
  for (const std::uint32_t index : trail.references) {
    const Reference& reference = all.references[index];
    if (reference.method) trail.methods.insert(pass.words.say(text_of(*reference.method)));
    note(trail.sources, reference.source);
    note(trail.meters, reference.meter);
    note(trail.cords, reference.cords);
  }
  return trail;
}

std::string references_text(const ReportPass& pass, const LinkTrail& trail) {
  constexpr std::size_t most = 4;
  const auto& all = pass.view.all.references;
  const ReferenceFinder finder(all, ReferencePractice{});
  std::string text;
  std::size_t shown = 0;
  for (const std::uint32_t index : trail.references) {
    const Reference& reference = all[index];
    if (shown++ == most)
      return text + "; " + pass.words.say(fmt::format("and {} more", trail.references.size() - most));
    text += fmt::format("{}{} {} nm{}", text.empty() ? "" : "; ", reference.id,
                        pass.words.plain(reference.wavelength.value),
                        reference.time ? " " + pass.words.moment(*reference.time) : "");
    if (const auto change = finder.change_of(index))
      text +=
          fmt::format(" ({} {} dB)", pass.words.say("closing check"), pass.words.change(change->value, 2));
  }
  return text;
}

std::string calibration_text(const ReportPass& pass, const LinkTrail& trail) {
  std::string text;
  for (const Calibration& each : pass.view.all.records.calibrations) {
    if (trail.meters.count(each.instrument) == 0 && trail.sources.count(each.instrument) == 0) continue;
    text += fmt::format("{}{} {} ({} {})", text.empty() ? "" : "; ", each.instrument, each.certificate,
                        pass.words.say("valid through"), pass.words.day(each.through));
  }
  return text;
}

std::string identity_text(const ReportPass& pass, const LinkView& link) {
  const auto strands = pass.view.strands_of(link);
  const ScheduledStrand& first = pass.view.all.schedule[strands.front()];
  std::set<double> lengths;
  std::set<std::string> fibres;
  for (const std::uint32_t index : strands) {
    const ScheduledStrand& strand = pass.view.all.schedule[index];
    if (strand.length) lengths.insert(strand.length->value);
    if (strand.fibre) fibres.insert(pass.words.say(text_of(*strand.fibre)));
  }
  std::string text = joined_names(fibres);
  const auto add = [&text](const std::string& part) { text += (text.empty() ? "" : "  \u00B7  ") + part; };
  if (!lengths.empty())
    add(lengths.size() == 1
            ? pass.words.length({*lengths.begin()}, pass.options.length)
            : fmt::format("{} {} {}", pass.words.length({*lengths.begin()}, pass.options.length),
                          pass.words.say("to"), pass.words.length({*lengths.rbegin()}, pass.options.length)));
  add(pass.words.say(counted(link.strands, "strand")));
  if (first.connections)
    add(pass.words.say(counted(static_cast<std::size_t>(*first.connections), "connection")));
  if (first.splices) add(pass.words.say(counted(static_cast<std::size_t>(*first.splices), "splice")));
  return text;
}

std::string ends_text(const ScheduledStrand& first, const ScheduledStrand& last) {
  if (first.end_a.empty() && first.end_b.empty()) return {};
  const auto span = [](const std::string& from, const std::string& to) {
    return from == to ? from : from + " \u2026 " + to;
  };
  return span(first.end_a, last.end_a) + "  \u2192  " + span(first.end_b, last.end_b);
}

void facts(const ReportPass& pass, const LinkView& link) {
  const Assessment& all = pass.view.all;
  const auto strands = pass.view.strands_of(link);
  const LinkTrail trail = trail_of(pass, link);
  std::string cable = link.cable == link.name ? std::string{} : link.cable;
  if (!link.building.empty()) cable += (cable.empty() ? "" : ", ") + link.building;
  fact(pass, "Cable, building", cable);
  fact(pass, "Ends", ends_text(all.schedule[strands.front()], all.schedule[strands.back()]));
  fact(pass, "Link", identity_text(pass, link));
  fact(pass, "Rule",
       joined_names(trail.rules).empty() ? pass.words.say("limits stated link by link")
                                         : joined_names(trail.rules));
  fact(pass, "Decision rule",
       pass.words.say(all.guard == GuardBand::none
                          ? "simple acceptance: loss \u2264 limit (guard band 0)"
                          : "guard band U = 2u: pass where loss \u2264 limit \u2212 U"));
  fact(pass, "Reference method", joined_names(trail.methods));
  fact(pass, "References", references_text(pass, trail));
  std::string instruments = joined_names(trail.sources);
  for (const auto* names : {&trail.meters, &trail.cords})
    if (!names->empty()) instruments += (instruments.empty() ? "" : "  \u00B7  ") + joined_names(*names);
  fact(pass, "Source, meter, cords", instruments);
  fact(pass, "Calibration", calibration_text(pass, trail));
  fact(pass, "Read by", joined_names(trail.people));
  fact(pass, "Date",
       pass.options.created.seconds == 0 ? std::string{} : pass.words.day(pass.options.created));
  if (trail.recalled > 0)
    fact(pass, "From memory",
         pass.words.say(
             fmt::format("The limits of {} tests rest on numbers that are from memory and await checking.",
                         trail.recalled)));
}

/// The worst outcome of the link in words, and how many tests came to what.
void outcome_line(const ReportPass& pass, const LinkView& link) {
  Flow& flow = pass.flow;
  StrandOutcome worst;
  for (const std::uint32_t index : pass.view.tests_of(link)) {
    const Outcome each = pass.view.all.tests[index].outcome;
    worst = worst ? worse(*worst, each) : each;
  }
  flow.advance(18);
  flow.canvas().begin(PageRole::paragraph);
  if (!worst) {
    flow.canvas().text({{flow.left(), flow.y()}}, body_style, Ink::ink, pass.words.say("No test was due."));
    return flow.advance(6);
  }
  flow.canvas().mark(*worst, {flow.left() + 6, flow.y() - 4.6}, 5.4);
  std::string counts;
  for (const Outcome outcome : all_outcomes)
    if (const std::size_t count = link.counts.count(outcome); count > 0)
      counts += fmt::format("{}{} {}", counts.empty() ? "" : ", ", count_text(count),
                            pass.words.say(text_of(outcome)));
  flow.canvas().text({{flow.left() + 20, flow.y()}, 200, Align::left}, {Face::serif_bold, 14},
                     is_beyond_limit(*worst) ? Ink::accent : Ink::ink,
                     capitalised(pass.words.say(text_of(*worst))));
  flow.canvas().text({{flow.right(), flow.y()}, flow.width() - 230, Align::right}, {Face::serif, 10.5},
                     Ink::ink, fmt::format("{}: {}", pass.words.say(counted(link.tests, "test")), counts));
  flow.advance(6);
}

/// The tightest judged test of the link as the large bar.
void tightest_bar(const ReportPass& pass, const LinkView& link) {
  if (link.tightest == nothing) return;
  Flow& flow = pass.flow;
  const JudgedTest& test = pass.view.all.tests[link.tightest];
  flow.canvas().begin(PageRole::paragraph);
  flow.canvas().text(
      {{flow.left(), flow.y() + 10}, flow.width(), Align::left}, {Face::serif_italic, 8.8}, Ink::grey,
      fmt::format("{}: {}, {} nm, {}", pass.words.say("The test with the least margin"),
                  pass.view.all.schedule[test.strand].strand, pass.words.plain(test.wavelength.value),
                  pass.words.say(arrow_of(test.direction))));
  flow.advance(13);
  const BudgetPicture picture{limit_behind(pass.view.all, test), test.loss, 2 * test.standard_uncertainty};
  draw_budget_bar(flow.canvas(), {flow.left(), flow.y(), flow.width(), budget_bar_height}, picture,
                  pass.words);
  flow.advance(budget_bar_height + 4);
}

void signature_lines(const ReportPass& pass) {
  Flow& flow = pass.flow;
  const double top = flow.bottom() - signatures_height + 14;
  const double third = flow.width() / 3;
  double x = flow.left();
  for (const std::string_view role : {"Tested by", "Checked by", "Accepted for the owner"}) {
    flow.canvas().begin(PageRole::paragraph);
    flow.canvas().text({{x, top + 10}, third - 14, Align::left}, {Face::serif_bold, 9.5}, Ink::ink,
                       pass.words.say(role));
    for (const auto& [below, field] : {std::pair{38.0, "name, signature"}, {64.0, "place and date"}}) {
      flow.canvas().line({x, top + below}, {x + third - 14, top + below}, 0.6, Ink::ink);
      flow.canvas().text({{x, top + below + 9}, third - 14, Align::left}, {Face::serif_italic, 8}, Ink::grey,
                         pass.words.say(field));
    }
    x += third;
  }
}

void certificate(const ReportPass& pass, const LinkView& link, const std::string& base_address) {
  Flow& flow = pass.flow;
  flow.plain_page();
  flow.outline(legible(link.name), 0);
  certificate_head(pass, link, base_address);
  facts(pass, link);
  outcome_line(pass, link);
  tightest_bar(pass, link);
  certificate_tests(pass, link, {flow.left(), flow.y(), flow.width(), flow.room() - signatures_height});
  signature_lines(pass);
}

}  // namespace

std::string code_text(const std::string& base_address, const std::string& name) {
  if (base_address.empty()) return name;
  std::string text = base_address;
  for (const char letter : name) {
    const auto byte = static_cast<unsigned char>(letter);
    const bool unreserved = (byte >= '0' && byte <= '9') || (byte >= 'A' && byte <= 'Z') ||
                            (byte >= 'a' && byte <= 'z') || byte == '-' || byte == '.' || byte == '_' ||
                            byte == '~';
    text += unreserved ? std::string(1, letter) : fmt::format("%{:02X}", byte);
  }
  return text;
}

Result<Done> write_certificates_pdf(const JudgedJob& job, const ReportOptions& options,
                                    const std::string& base_address, const std::string& path,
                                    const Progress& progress) {
  const ReportedJob view(job);
  if (view.links.empty())
    return Problem{{path, {}, 0, {}}, "a job without a link", "a schedule with one link at least", ""};
  const Wording words(options.language);
  const PdfSetup setup{sheet_of(options.paper),
                       identity_of(job, words.say("Certificates of links"), options, words)};
  return write_pdf(path, setup, [&](Typesetter& typesetter, cairo_surface_t* surface) -> Trail {
    Canvas canvas(typesetter, surface);
    Flow flow(canvas, setup.sheet, nullptr, words, {}, {});
    const ReportPass pass{view, options, words, flow};
    for (std::size_t i = 0; i < view.links.size(); ++i) {
      certificate(pass, view.links[i], base_address);
      if (progress && !progress(static_cast<double>(i) / static_cast<double>(view.links.size()))) return {};
    }
    flow.finish();
    return flow.trail();
  });
}

}  // namespace strandbook
