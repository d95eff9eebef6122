#include "edge/exchange/judged_traces_json.hpp"

namespace strandbook {
namespace {

void add_value(JsonMembers& members, const char* name, const char* uncertainty,
               const std::optional<Measured>& value) {
  members.maybe_number(name, value ? std::optional(value->value) : std::nullopt);
  members.maybe_number(uncertainty, value ? std::optional(value->standard_uncertainty) : std::nullopt);
}

void append_seen(std::string& out, const TwoWayEvent& event, const JudgedSplice* splice) {
  JsonMembers members(out);
  members.text("kind", text_of(event.kind));
  members.number("position_m", event.position.value);
  add_value(members, "from_a_db", "from_a_uncertainty_db", event.from_a);
  add_value(members, "from_b_db", "from_b_uncertainty_db", event.from_b);
  add_value(members, "mean_db", "mean_uncertainty_db", event.mean);
  members.quantity("mean_least_db", event.mean_least);
  members.quantity("mean_most_db", event.mean_most);
  members.maybe_text("explanation", event.explanation);
  const bool judged = splice != nullptr && splice->limit;
  members.maybe_text("verdict", splice != nullptr ? text_of(splice->verdict) : std::string_view{});
  members.maybe_number("limit_db", judged ? std::optional(splice->limit->limit.value.value) : std::nullopt);
  members.maybe_text("limit_source", judged ? describe(splice->limit->limit.source) : std::string{});
  members.maybe_text("reason", splice != nullptr ? splice->reason : std::string{});
  members.count("attempts", splice != nullptr ? static_cast<std::size_t>(splice->attempts) : 1);
  const bool relaxed = judged && splice->verdict == SpliceVerdict::relaxed;
  members.maybe_text("consequence", relaxed ? splice->limit->relaxed->consequence : std::string{});
  members.end();
}

void add_span(JsonMembers& members, const std::optional<JudgedSpan>& span) {
  members.maybe_text("span_verdict", span ? text_of(span->verdict) : std::string_view{});
  members.quantity("span_mean_db", span ? span->mean : std::nullopt);
  members.quantity("span_limit_db", span ? std::optional(span->limit.value) : std::nullopt);
  members.maybe_text("span_limit_source", span ? describe(span->limit.source) : std::string{});
}

}  // namespace

void add_held_trace(JsonMembers& members, const HeldTrace& trace) {
  members.text("file", trace.at.file);
  members.text("direction", text_of(trace.from()));
  members.truth("direction_stated", trace.direction.has_value());
  members.number("wavelength_nm", trace.wavelength.value);
  members.number("pulse_ns", trace.pulse_ns);
  members.number("group_index", trace.index.value);
  members.quantity("range_m", trace.range);
  members.quantity("launch_m", trace.launch);
  members.quantity("receive_m", trace.receive);
  members.maybe_text("taken", trace.taken ? iso_text(*trace.taken) : std::string{});
  members.maybe_text("instrument", trace.instrument);
  members.maybe_text("operator", trace.operator_name);
  members.number("length_m", trace.seen.length.value);
  add_value(members, "sum_db", "sum_uncertainty_db", trace.seen.loss);
  members.truth("near_end_measured", trace.seen.near_end_measured);
  members.truth("far_end_measured", trace.seen.far_end_measured);
  members.number("detectable_db", trace.detectable.value);
}

void add_judged_traces(JsonMembers& members, std::string& out, const Assessment& all,
                       const JudgedTraces& judged) {
  const ScheduledStrand& strand = all.schedule[judged.strand];
  members.text("link", link_name(strand));
  members.text("strand", strand.strand);
  members.number("wavelength_nm", judged.wavelength.value);
  members.number("length_m", judged.seen.length.value);
  members.truth("both_ways", judged.from_a != nothing && judged.from_b != nothing);
  add_value(members, "sum_db", "sum_uncertainty_db", judged.seen.loss);
  members.truth("near_end_measured", judged.near_end_measured);
  members.truth("far_end_measured", judged.far_end_measured);
  members.maybe_number(
      "meter_db", judged.test == nothing ? std::nullopt : std::optional(all.tests[judged.test].loss.value));
  members.text("agreement", text_of(judged.agreement.agreement));
  members.quantity("difference_db", judged.agreement.difference);
  members.text("words", judged.agreement.words);
  members.maybe_text("advice", judged.agreement.advice);
  members.maybe_text("length_note", judged.length_note);
  members.quantity("broken_from_a_m", judged.broken ? judged.broken->from_a : std::nullopt);
  members.quantity("broken_from_b_m", judged.broken ? judged.broken->from_b : std::nullopt);
  add_span(members, judged.span);
  members.name("events");
  std::size_t at = 0;
  append_json_list(out, judged.seen.events, [&](const TwoWayEvent& event) {
    append_seen(out, event, at < judged.splices.size() ? &judged.splices[at] : nullptr);
    ++at;
  });
}

}  // namespace strandbook
