// Traces strand by strand: their curves, the events of both directions, beside the meter.

#include <fmt/format.h>

#include <algorithm>

#include "domain/plan/strand_index.hpp"
#include "edge/report/legible.hpp"
#include "edge/report/sections.hpp"
#include "edge/report/table.hpp"
#include "edge/report/trace_figure.hpp"

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

/// "within: 0.10 dB, source; attempt 2"; empty where nothing is to be said.
std::string verdict_of_splice(const JudgedTraces& judged, std::size_t at, const Wording& words) {
  if (at >= judged.splices.size()) return {};
  const JudgedSplice& splice = judged.splices[at];
  const bool relaxed = splice.verdict == SpliceVerdict::relaxed;
  std::string line;
  const auto add = [&line](const std::string& more) { line += (line.empty() ? "" : "; ") + more; };
  if (splice.limit) {
    const Sourced<Decibels>& limit = relaxed ? splice.limit->relaxed->limit : splice.limit->limit;
    add(fmt::format("{}: {} dB, {}", words.say(text_of(splice.verdict)), words.decimal(limit.value.value, 2),
                    source_text(limit.source, words)));
  }
  if (splice.attempts > 1) add(fmt::format("{} {}", words.say("attempt"), splice.attempts));
  if (relaxed) add(words.say(splice.limit->relaxed->consequence));
  if (splice.made_again) add(words.say(splice.reason));
  return line;
}

std::string directions_of(const JudgedTraces& judged) {
  if (judged.from_a != nothing && judged.from_b != nothing) return "from both ends";
  return judged.from_a != nothing ? "from A only" : "from B only";
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

/// The mean of the span's splices, where the owner limits it.
void span(const ReportPass& pass, const JudgedTraces& judged) {
  if (!judged.span || !judged.span->mean) return;
  const Wording& words = pass.words;
  pass.flow.paragraph(
      fmt::format("{}: {} dB, {} {} dB, {}: {}", words.say("Mean loss of the span's splices"),
                  words.decimal(judged.span->mean->value, 3), words.say("limit"),
                  words.decimal(judged.span->limit.value.value, 2),
                  source_text(judged.span->limit.source, words), words.say(text_of(judged.span->verdict))),
      note_style);
}

void strand_traces(const ReportPass& pass, const JudgedTraces& judged) {
  const Assessment& all = pass.view.all;
  pass.flow.need(240);
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
  draw_traces(pass, judged);
  events(pass, judged);
  span(pass, judged);
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
      "splice's own loss. In the "
      "pictures the strong line is seen from A, the fine one from B; peaks of reflections go out of them.");
  for (const JudgedTraces& judged : traces) {
    if (pass.flow.stopped()) return;
    strand_traces(pass, judged);
  }
}

}  // namespace strandbook
