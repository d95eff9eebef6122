#include "edge/exchange/trace_json.hpp"

#include <fmt/format.h>

#include "edge/exchange/json_members.hpp"

namespace strandbook {
namespace {

void add_measured(JsonMembers& members, const char* value, const char* uncertainty,
                  const std::optional<Measured>& measured) {
  members.maybe_number(value, measured ? std::optional(measured->value) : std::nullopt);
  members.maybe_number(uncertainty, measured ? std::optional(measured->standard_uncertainty) : std::nullopt);
}

std::string_view end_word(EndState end) {
  switch (end) {
    case EndState::found:
      return "found";
    case EndState::beyond_noise:
      return "beyond the noise";
    case EndState::beyond_range:
      return "beyond the range";
  }
  return {};
}

std::string samples_of(SampleRange range) { return fmt::format("[{},{}]", range.first, range.last); }

void append_event(std::string& out, const TraceEvent& event) {
  JsonMembers members(out);
  members.text("kind", text_of(event.kind));
  members.number("position_m", event.position.value);
  members.number("position_uncertainty_m", event.position_uncertainty.value);
  members.number("until_m", event.until.value);
  add_measured(members, "loss_db", "loss_uncertainty_db", event.loss);
  members.quantity("height_db", event.height);
  members.quantity("reflectance_db", event.reflectance);
  members.truth("saturated", event.saturated);
  members.maybe_text("echo", event.echo);
  members.name("parts_m");
  append_json_list(out, event.parts, [&](Metres part) { append_decimal(out, part.value, 3); });
  members.raw("samples_before", samples_of(event.before));
  members.raw("samples_after", samples_of(event.after));
  members.end();
}

void append_section(std::string& out, const TraceSection& section) {
  JsonMembers members(out);
  members.number("from_m", section.from.value);
  members.number("to_m", section.to.value);
  add_measured(members, "attenuation_db_per_km", "attenuation_uncertainty_db_per_km", section.attenuation);
  members.number("loss_db", section.loss.value);
  members.number("loss_uncertainty_db", section.loss.standard_uncertainty);
  members.number("detectable_db", section.detectable.value);
  members.raw("samples", samples_of(section.samples));
  members.end();
}

void append_link_part(std::string& out, const TraceLink& link) {
  JsonMembers members(out);
  members.number("start_m", link.start.value);
  members.number("length_m", link.length.value);
  add_measured(members, "loss_db", "loss_uncertainty_db", link.loss);
  members.truth("near_end_measured", link.near_end_measured);
  members.truth("far_end_measured", link.far_end_measured);
  members.name("notes");
  append_json_list(out, link.notes, [&](const std::string& note) { append_json_text(out, note); });
  members.end();
}

void append_asked_place(std::string& out, const PlaceInTrace& place) {
  JsonMembers members(out);
  members.number("asked_m", place.asked.value);
  members.maybe_number("event_m", place.event ? std::optional(place.event->position.value) : std::nullopt);
  add_measured(members, "loss_db", "loss_uncertainty_db",
               place.event ? place.event->loss : std::optional<Measured>{});
  members.quantity("detectable_db", place.detectable);
  members.maybe_text("not_measured", place.not_measured);
  members.end();
}

void append_settings(JsonMembers& members, const Trace& trace) {
  const TraceSettings& s = trace.settings;
  members.number("wavelength_nm", s.wavelength.value);
  members.number("pulse_ns", s.pulse_ns);
  members.number("group_index", s.index.value);
  members.quantity("backscatter_1ns_db", s.backscatter);
  members.number("sample_step_m", trace.step.value);
  members.count("samples", trace.level_db.size());
  members.truth("scale_inferred", trace.scale_inferred);
  members.maybe_text("cable", trace.identity.cable);
  members.maybe_text("fibre", trace.identity.fibre);
  members.choice("direction", trace.identity.direction);
  members.maybe_text("taken", trace.identity.taken ? iso_text(*trace.identity.taken) : std::string());
}

void append_trace(std::string& out, const ExaminedTrace& examined) {
  const TraceAnalysis& analysis = examined.analysis;
  JsonMembers members(out);
  members.text("file", examined.file);
  append_settings(members, examined.trace);
  members.text("end", end_word(analysis.end));
  members.number("length_m", analysis.length.value);
  members.quantity("dynamic_range_db", analysis.dynamic_range);
  members.number("slope_db_per_km", analysis.slope.value);
  add_measured(members, "return_loss_db", "return_loss_uncertainty_db", analysis.return_loss);
  members.truth("return_loss_is_bound", analysis.return_loss_is_bound);
  members.name("events");
  append_json_list(out, analysis.events, [&](const TraceEvent& event) { append_event(out, event); });
  members.name("sections");
  append_json_list(out, analysis.sections,
                   [&](const TraceSection& section) { append_section(out, section); });
  members.name("link");
  append_link_part(out, examined.link);
  members.name("places");
  append_json_list(out, examined.places, [&](const PlaceInTrace& place) { append_asked_place(out, place); });
  members.name("notes");
  std::vector<std::string> notes = examined.trace.notes;
  notes.insert(notes.end(), analysis.notes.begin(), analysis.notes.end());
  for (const Problem& warning : examined.warnings) notes.push_back(describe(warning));
  append_json_list(out, notes, [&](const std::string& note) { append_json_text(out, note); });
  members.end();
}

void append_problem(std::string& out, const Problem& problem) {
  JsonMembers members(out);
  append_place(members, problem.at);
  members.text("found", problem.found);
  members.text("expected", problem.wanted);
  members.maybe_text("advice", problem.advice);
  members.end();
}

void append_traces(JsonMembers& members, std::string& out, const ExaminedTraces& traces) {
  members.name("traces");
  append_json_list(out, traces.traces, [&](const ExaminedTrace& trace) { append_trace(out, trace); });
  members.name("unread_files");
  append_json_list(out, traces.unread, [&](const Problem& problem) { append_problem(out, problem); });
}

void append_pair_event(std::string& out, const TwoWayEvent& event, const JudgedSplice* splice) {
  JsonMembers members(out);
  members.text("kind", text_of(event.kind));
  members.number("position_m", event.position.value);
  add_measured(members, "from_a_db", "from_a_uncertainty_db", event.from_a);
  add_measured(members, "from_b_db", "from_b_uncertainty_db", event.from_b);
  add_measured(members, "mean_db", "mean_uncertainty_db", event.mean);
  members.quantity("mean_least_db", event.mean_least);
  members.quantity("mean_most_db", event.mean_most);
  members.truth("one_direction_only", event.one_side_only());
  members.maybe_text("explanation", event.explanation);
  if (splice != nullptr) {
    members.text("verdict", text_of(splice->verdict));
    members.maybe_number("limit_db",
                         splice->limit ? std::optional(splice->limit->limit.value.value) : std::nullopt);
    members.maybe_text("limit_source", splice->limit ? describe(splice->limit->limit.source) : std::string());
    members.maybe_text("reason", splice->reason);
  }
  members.end();
}

void append_joined(std::string& out, const JoinedStrand& strand) {
  JsonMembers members(out);
  members.text("link", strand.link);
  members.text("strand", strand.strand);
  members.number("wavelength_nm", strand.wavelength.value);
  members.name("traces");
  append_json_list(out, strand.traces, [&](std::size_t index) { out += std::to_string(index); });
  members.quantity("meter_loss_db", strand.meter_loss);
  members.quantity("limit_db", strand.limit);
  members.text("agreement", text_of(strand.agreement.agreement));
  members.quantity("trace_mean_db", strand.agreement.trace_mean);
  members.quantity("difference_db", strand.agreement.difference);
  members.truth("one_way", strand.agreement.one_way);
  members.text("words", strand.agreement.words);
  members.maybe_text("advice", strand.agreement.advice);
  members.maybe_text("length_note", strand.length_note);
  members.end();
}

}  // namespace

std::string trace_json(const ExaminedTraces& traces) {
  std::string out;
  JsonMembers members(out);
  members.count("format", 1);
  append_traces(members, out, traces);
  members.end();
  return out;
}

std::string trace_pair_json(const ExaminedPair& pair) {
  std::string out;
  JsonMembers members(out);
  members.count("format", 1);
  members.number("length_m", pair.length.value);
  add_measured(members, "mean_loss_db", "mean_loss_uncertainty_db", pair.mean_loss);
  members.name("from_a");
  append_trace(out, pair.from_a);
  members.name("from_b");
  append_trace(out, pair.from_b);
  members.name("both_ways");
  std::size_t at = 0;
  append_json_list(out, pair.events, [&](const TwoWayEvent& event) {
    append_pair_event(out, event, at < pair.splices.size() ? &pair.splices[at] : nullptr);
    ++at;
  });
  members.end();
  return out;
}

std::string trace_join_json(const JoinedTraces& joined) {
  std::string out;
  JsonMembers members(out);
  members.count("format", 1);
  append_traces(members, out, joined.examined);
  members.name("strands");
  append_json_list(out, joined.strands, [&](const JoinedStrand& strand) { append_joined(out, strand); });
  members.name("unmatched_traces");
  append_json_list(out, joined.unmatched, [&](const Problem& problem) { append_problem(out, problem); });
  members.end();
  return out;
}

}  // namespace strandbook
