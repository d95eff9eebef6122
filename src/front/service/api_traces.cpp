// Traces of a job: what they come to strand by strand, and the one that a picture is drawn of.

#include <charconv>
#include <cstring>

#include "domain/traces/trace_readout.hpp"
#include "edge/exchange/judged_traces_json.hpp"
#include "front/service/api.hpp"

namespace strandbook {
namespace {

constexpr std::size_t most_strands = 5000;

void append_line(std::string& out, const Assessment& all, const JudgedTraces& judged) {
  const ScheduledStrand& strand = all.schedule[judged.strand];
  std::size_t beyond = 0;
  for (const JudgedSplice& splice : judged.splices) beyond += splice.verdict == SpliceVerdict::beyond ? 1 : 0;
  JsonMembers members(out);
  members.text("link", link_name(strand));
  members.text("strand", strand.strand);
  members.number("wavelength_nm", judged.wavelength.value);
  members.truth("from_a", judged.from_a != nothing);
  members.truth("from_b", judged.from_b != nothing);
  members.number("length_m", judged.seen.length.value);
  members.maybe_number("sum_db", judged.seen.loss ? std::optional(judged.seen.loss->value) : std::nullopt);
  members.text("agreement", text_of(judged.agreement.agreement));
  members.truth("ends_measured", judged.near_end_measured && judged.far_end_measured);
  members.count("splices_beyond", beyond);
  members.truth("length_differs", !judged.length_note.empty());
  members.truth("broken", judged.broken.has_value());
  members.end();
}

void append_whole(std::string& out, const JobView& view, const JudgedTraces& judged) {
  const Assessment& all = view.judgement->all();
  JsonMembers members(out);
  add_judged_traces(members, out, all, judged);
  members.name("traces");
  append_json_list(out, judged.traces, [&](std::uint32_t at) {
    JsonMembers trace(out);
    trace.text("fact", text_of(view.trace_facts[at]));
    trace.truth("counts", at == judged.from_a || at == judged.from_b);
    add_held_trace(trace, all.traces[at]);
    trace.end();
  });
  members.end();
}

std::string traces_json(const JobView& view, const std::vector<JudgedTraces>& judged, const std::string& link,
                        const std::string& strand) {
  std::vector<const JudgedTraces*> wanted;
  std::vector<const JudgedTraces*> whole;
  for (const JudgedTraces& each : judged) {
    const ScheduledStrand& scheduled = view.schedule[each.strand];
    if (!link.empty() && link_name(scheduled) != link) continue;
    wanted.push_back(&each);
    if (!strand.empty() && scheduled.strand == strand) whole.push_back(&each);
  }
  const std::size_t total = wanted.size();
  if (wanted.size() > most_strands) wanted.resize(most_strands);
  std::string out;
  JsonMembers members(out);
  members.count("revision", view.revision);
  members.count("total", total);
  members.name("strands");
  append_json_list(out, wanted,
                   [&](const JudgedTraces* each) { append_line(out, view.judgement->all(), *each); });
  members.name("judged");
  append_json_list(out, whole, [&](const JudgedTraces* each) { append_whole(out, view, *each); });
  members.end();
  return out;
}

/// Where a place seen from the trace's own panel lies on the link, from A.
double from_end_a(const LookedAtTrace& looked, Metres at) {
  const double along = at.value - looked.examined->link.start.value;
  return looked.from == Direction::a_to_b ? along : looked.length.value - along;
}

Metres from_panel(const LookedAtTrace& looked, double from_a) {
  const double along = looked.from == Direction::a_to_b ? from_a : looked.length.value - from_a;
  return {looked.examined->link.start.value + along};
}

void append_found(std::string& out, const LookedAtTrace& looked, const TraceEvent& event) {
  JsonMembers members(out);
  members.text("kind", text_of(event.kind));
  members.number("position_m", from_end_a(looked, event.position));
  members.number("position_uncertainty_m", event.position_uncertainty.value);
  members.number("until_m", from_end_a(looked, event.until));
  members.maybe_number("loss_db", event.loss ? std::optional(event.loss->value) : std::nullopt);
  members.maybe_number("loss_uncertainty_db",
                       event.loss ? std::optional(event.loss->standard_uncertainty) : std::nullopt);
  members.quantity("reflectance_db", event.reflectance);
  members.truth("saturated", event.saturated);
  members.maybe_text("echo", event.echo);
  members.end();
}

std::string trace_json(const LookedAtTrace& looked) {
  const Trace& trace = looked.examined->trace;
  const TraceAnalysis& analysis = looked.examined->analysis;
  std::string out;
  JsonMembers members(out);
  members.text("file", looked.file);
  members.text("sha256", text_of(looked.hash));
  members.text("direction", text_of(looked.from));
  members.number("wavelength_nm", trace.settings.wavelength.value);
  members.number("pulse_ns", trace.settings.pulse_ns);
  members.quantity("backscatter_db", trace.settings.backscatter);
  members.number("group_index", trace.settings.index.value);
  members.number("length_m", looked.length.value);
  members.number("first_m", from_end_a(looked, trace.first));
  members.number("step_m", looked.from == Direction::a_to_b ? trace.step.value : -trace.step.value);
  members.count("samples", trace.level_db.size());
  members.name("events");
  append_json_list(out, analysis.events, [&](const TraceEvent& event) { append_found(out, looked, event); });
  members.name("stored");
  append_json_list(out, trace.stored, [&](const StoredEvent& event) {
    JsonMembers stored(out);
    stored.number("position_m", from_end_a(looked, event.position));
    stored.number("loss_db", event.loss.value);
    stored.quantity("reflectance_db", event.reflectance);
    stored.end();
  });
  members.quantity("return_loss_db", analysis.return_loss
                                         ? std::optional(Decibels{analysis.return_loss->value})
                                         : std::nullopt);
  members.quantity("dynamic_range_db", analysis.dynamic_range);
  members.name("notes");
  std::vector<std::string> notes = looked.examined->link.notes;
  notes.insert(notes.end(), trace.notes.begin(), trace.notes.end());
  notes.insert(notes.end(), analysis.notes.begin(), analysis.notes.end());
  append_json_list(out, notes, [&](const std::string& note) { append_json_text(out, note); });
  members.end();
  return out;
}

/// Levels as 32-bit floats, least significant byte first.
std::string level_bytes(const Trace& trace) {
  std::string bytes;
  bytes.reserve(4 * trace.level_db.size());
  for (const double level : trace.level_db) {
    const auto value = static_cast<float>(level);
    std::uint32_t bits = 0;
    std::memcpy(&bits, &value, sizeof bits);
    for (const unsigned shift : {0U, 8U, 16U, 24U}) bytes += static_cast<char>(bits >> shift & 0xffU);
  }
  return bytes;
}

std::optional<double> metres_asked(const Request& request, const char* key) {
  const std::string text = query_text(request, key);
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  const bool whole = error == std::errc{} && end == text.data() + text.size() && !text.empty();
  return whole && std::abs(value) < 1e7 ? std::optional(value) : std::nullopt;
}

Response with_trace(Service& service, const Captures& captures,
                    const std::function<Response(const LookedAtTrace&)>& work) {
  return with_job(service, captures, [&](ServedJob& job) {
    const Result<LookedAtTrace> looked = job.live->trace(captures[1]);
    return looked ? work(*looked) : problem_response(looked.problem(), not_found);
  });
}

}  // namespace

Response get_traces(Service& service, const Request& request, const Captures& captures) {
  return with_job(service, captures, [&](ServedJob& job) {
    std::string out;
    job.live->look_at_traces([&](const JobView& view, const std::vector<JudgedTraces>& judged) {
      out = traces_json(view, judged, query_text(request, "link"), query_text(request, "strand"));
    });
    return json_response(std::move(out));
  });
}

Response get_trace(Service& service, const Request&, const Captures& captures) {
  return with_trace(service, captures,
                    [](const LookedAtTrace& looked) { return json_response(trace_json(looked)); });
}

Response get_trace_levels(Service& service, const Request&, const Captures& captures) {
  return with_trace(service, captures, [](const LookedAtTrace& looked) {
    Response response;
    response.type = "application/octet-stream";
    response.body = std::make_shared<const std::string>(level_bytes(looked.examined->trace));
    return response;
  });
}

Response get_trace_readout(Service& service, const Request& request, const Captures& captures) {
  const std::optional<double> one = metres_asked(request, "one_m");
  const std::optional<double> other = metres_asked(request, "other_m");
  if (!one || !other)
    return problem_response({{}, "no two places", "one_m and other_m, metres from A", ""}, bad_request);
  return with_trace(service, captures, [&](const LookedAtTrace& looked) {
    const TraceReadout read =
        readout(looked.examined->trace, from_panel(looked, *one), from_panel(looked, *other));
    std::string out;
    JsonMembers members(out);
    members.number("one_m", std::min(from_end_a(looked, read.from), from_end_a(looked, read.to)));
    members.number("other_m", std::max(from_end_a(looked, read.from), from_end_a(looked, read.to)));
    members.number("apart_m", read.to.value - read.from.value);
    members.number("two_point_db", read.two_point.value);
    members.quantity("line_db", read.line_loss);
    members.maybe_number("attenuation_db_km",
                         read.attenuation ? std::optional(read.attenuation->value) : std::nullopt);
    members.maybe_number(
        "attenuation_uncertainty_db_km",
        read.attenuation ? std::optional(read.attenuation->standard_uncertainty) : std::nullopt);
    members.quantity("residual_db", read.residual);
    members.count("samples", read.samples);
    members.end();
    return json_response(std::move(out));
  });
}

}  // namespace strandbook
