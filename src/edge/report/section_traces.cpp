// Traces strand by strand: a strip of the link with its events, both directions, beside the meter.

#include <fmt/format.h>

#include <algorithm>

#include "domain/plan/strand_index.hpp"
#include "edge/report/legible.hpp"
#include "edge/report/sections.hpp"
#include "edge/report/table.hpp"

namespace strandbook {
namespace {

std::string with_spread(const std::optional<Measured>& value, const Wording& words) {
  if (!value) return "\u2014";
  return words.decimal(value->value, 3) + " \u00B1 " + words.decimal(2 * value->standard_uncertainty, 3);
}

std::string mean_of(const TwoWayEvent& event, const Wording& words) {
  if (event.mean || !event.mean_least) return with_spread(event.mean, words);
  return fmt::format("{} {} {}", words.decimal(event.mean_least->value, 3), words.say("to"),
                     words.decimal(event.mean_most->value, 3));
}

std::string verdict_of_splice(const JudgedTraces& judged, std::size_t at, const Wording& words) {
  if (at >= judged.splices.size() || !judged.splices[at].limit) return {};
  const JudgedSplice& splice = judged.splices[at];
  return fmt::format("{}: {} dB, {}", words.say(text_of(splice.verdict)),
                     words.decimal(splice.limit->limit.value.value, 2),
                     source_text(splice.limit->limit.source, words));
}

std::string directions_of(const JudgedTraces& judged) {
  if (judged.from_a != nothing && judged.from_b != nothing) return "from both ends";
  return judged.from_a != nothing ? "from A only" : "from B only";
}

std::ptrdiff_t beyond_limit(const JudgedTraces& judged) {
  return std::count_if(judged.splices.begin(), judged.splices.end(),
                       [](const JudgedSplice& splice) { return splice.verdict == SpliceVerdict::beyond; });
}

/// The link as a line from A to B. An event is a stroke across it; one beyond its limit stands out by height
/// and ink.
void strip(const ReportPass& pass, const JudgedTraces& judged) {
  constexpr double height = 26;
  constexpr TextStyle small{Face::sans, 7.5};
  Flow& flow = pass.flow;
  flow.need(height);
  const double middle = flow.y() + 12;
  const double left = flow.left() + 14;
  const double wide = flow.width() - 28;
  Canvas& canvas = flow.canvas();
  canvas.figure([&] {
    return pass.words.say(fmt::format("The link from A to B with {} events, {} of them beyond a limit.",
                                      judged.seen.events.size(), beyond_limit(judged)));
  });
  canvas.text({{flow.left(), middle + 2.6}}, small, Ink::grey, "A");
  canvas.text({{flow.right(), middle + 2.6}, 1e9, Align::right}, small, Ink::grey, "B");
  canvas.line({left, middle}, {left + wide, middle}, 1.1, Ink::ink);
  const double length = std::max(judged.seen.length.value, 1e-3);
  for (std::size_t i = 0; i < judged.seen.events.size(); ++i) {
    const TwoWayEvent& event = judged.seen.events[i];
    const double at = left + wide * std::clamp(event.position.value / length, 0.0, 1.0);
    const bool beyond = i < judged.splices.size() && judged.splices[i].verdict == SpliceVerdict::beyond;
    const bool joint = event.kind == EventKind::reflective || event.kind == EventKind::end_of_fibre;
    const double half = beyond ? 9 : joint ? 6 : 4;
    canvas.line({at, middle - half}, {at, middle + half}, beyond ? 2 : 0.9, beyond ? Ink::accent : Ink::ink);
  }
  canvas.end();
  flow.advance(height);
}

void events(const ReportPass& pass, const JudgedTraces& judged) {
  Table table(pass.flow, {{"m from A", 1, Align::right},
                          {"event", 1.2},
                          {"A to B, dB", 1.5, Align::right},
                          {"B to A, dB", 1.5, Align::right},
                          {"mean, dB (k = 2)", 1.6, Align::right},
                          {"splice limit", 2.6}});
  table.head();
  for (std::size_t i = 0; i < judged.seen.events.size(); ++i) {
    const TwoWayEvent& event = judged.seen.events[i];
    table.wrapped_row({{pass.words.decimal(event.position.value, 1)},
                       {pass.words.say(text_of(event.kind))},
                       {with_spread(event.from_a, pass.words)},
                       {with_spread(event.from_b, pass.words)},
                       {mean_of(event, pass.words)},
                       {verdict_of_splice(judged, i, pass.words)}});
    table.rule();
  }
}

void taken(const ReportPass& pass, const JudgedTraces& judged) {
  for (const std::uint32_t at : {judged.from_a, judged.from_b}) {
    if (at == nothing) continue;
    const HeldTrace& trace = pass.view.all.traces[at];
    const Wording& words = pass.words;
    std::string line = fmt::format(
        "{}: {}, {} {} ns, {} {}, {} {} dB", text_of(trace.from()), trace.at.file, words.say("pulse"),
        words.plain(trace.pulse_ns), words.say("group index"), words.decimal(trace.index.value, 5),
        words.say("smallest step seen everywhere"), words.decimal(trace.detectable.value, 3));
    if (trace.taken) line += ", " + words.moment(*trace.taken);
    pass.flow.paragraph(line, {Face::sans, 8}, Ink::grey);
  }
}

void strand_traces(const ReportPass& pass, const JudgedTraces& judged) {
  const Assessment& all = pass.view.all;
  pass.flow.need(120);
  pass.flow.heading(fmt::format("{}, {} nm, {}", name_of(all.schedule[judged.strand]),
                                pass.words.plain(judged.wavelength.value),
                                pass.words.say(directions_of(judged))));
  pass.flow.paragraph(judged.agreement.words);
  if (!judged.length_note.empty()) pass.flow.paragraph(judged.length_note);
  if (!judged.near_end_measured || !judged.far_end_measured)
    pass.flow.paragraph(
        "Not both end connections are measured: that takes a launch cord and a receive cord longer than the "
        "dead zone.",
        note_style);
  strip(pass, judged);
  events(pass, judged);
  taken(pass, judged);
}

}  // namespace

void write_traces(const ReportPass& pass) {
  const std::vector<JudgedTraces>& traces = pass.view.job.traces;
  if (traces.empty()) return;
  pass.flow.new_page();
  pass.flow.outline(pass.words.say("Traces"), 0);
  pass.flow.heading("Traces");
  pass.flow.paragraph(
      "What an OTDR shows of each strand. The meter's loss decides the outcome; a trace explains it. Losses "
      "of events are one-way decibels with their expanded uncertainty; only the mean of both directions is a "
      "splice's own loss.");
  for (const JudgedTraces& judged : traces) {
    if (pass.flow.stopped()) return;
    strand_traces(pass, judged);
  }
}

}  // namespace strandbook
