// A trace that was brought in: whose it is and what was found in it. The file with its samples is the
// import's. Likewise a splice that was made again.

#include "edge/book/domain_facts.hpp"
#include "edge/book/fact_words.hpp"

namespace strandbook {
namespace {

constexpr std::string_view end_names[] = {"found", "beyond noise", "beyond range"};

std::optional<EndState> parse_end(std::string_view text) {
  for (std::size_t i = 0; i < std::size(end_names); ++i)
    if (end_names[i] == text) return static_cast<EndState>(i);
  return std::nullopt;
}

std::optional<EventKind> parse_event_kind(std::string_view text) {
  for (const EventKind kind : {EventKind::reflective, EventKind::loss, EventKind::gain, EventKind::bend,
                               EventKind::cluster, EventKind::end_of_fibre, EventKind::ghost})
    if (text_of(kind) == text) return kind;
  return std::nullopt;
}

void append_measured(CanonicalObject& object, std::string_view key, std::string_view uncertainty,
                     const std::optional<Measured>& value) {
  if (!value) return;
  object.number(key, value->value).number(uncertainty, value->standard_uncertainty);
}

std::optional<Measured> measured(const FactFields& fields, const char* key, const char* uncertainty) {
  const std::optional<double> value = fields.number(key);
  return value ? std::optional(Measured{*value, fields.number(uncertainty).value_or(0)}) : std::nullopt;
}

std::string json_of(const std::vector<LinkEvent>& events) {
  std::string json = "[";
  for (const LinkEvent& event : events) {
    if (json.size() > 1) json += ',';
    CanonicalObject object;
    object.number("at_m", event.position.value).text("kind", strandbook::text_of(event.kind));
    append_measured(object, "loss_db", "loss_u_db", event.loss);
    number_if(object, "reflectance_db", event.reflectance);
    object.integer_if("saturated", event.saturated ? 1 : 0).number("until_m", event.until.value);
    json += std::move(object).finish();
  }
  return json + "]";
}

std::string json_of(const std::vector<std::string>& notes) {
  std::string json = "[";
  for (const std::string& note : notes) {
    if (json.size() > 1) json += ',';
    CanonicalObject object;
    object.text("text", note);
    json += std::move(object).finish();
  }
  return json + "]";
}

LinkEvent event_from(const FactFields& fields) {
  LinkEvent event;
  const std::optional<EventKind> kind = fields.word("kind", parse_event_kind);
  if (!kind) fields.mark("kind");
  event.kind = kind.value_or(EventKind::loss);
  event.position = {fields.needed_number("at_m")};
  event.until = {fields.needed_number("until_m")};
  event.loss = measured(fields, "loss_db", "loss_u_db");
  event.reflectance = quantity<Decibels>(fields, "reflectance_db");
  event.saturated = fields.integer("saturated").value_or(0) != 0;
  return event;
}

void append_link(CanonicalObject& body, const TraceLink& seen) {
  body.integer_if("near_end_measured", seen.near_end_measured ? 1 : 0);
  if (!seen.notes.empty()) body.raw("notes", json_of(seen.notes));
}

}  // namespace

FactDraft to_fact(const HeldTrace& trace, const RowOrigin& origin) {
  const TraceLink& seen = trace.seen;
  CanonicalObject body;
  if (trace.averages > 0) body.number("averages", trace.averages);
  body.number("blind_m", seen.blind.value).number("detectable_db", trace.detectable.value);
  body.text_if("direction", word_of(trace.direction));
  body.text("end", end_names[static_cast<std::size_t>(trace.end)]);
  number_if(body, "ends_m", seen.ends);
  body.raw("events", json_of(seen.events));
  body.integer_if("far_end_measured", seen.far_end_measured ? 1 : 0);
  body.text_if("file", origin ? std::string_view{} : std::string_view{trace.at.file});
  body.number("group_index", trace.index.value);
  body.text_if("import", origin ? text_of(*origin) : std::string{}).text_if("instrument", trace.instrument);
  number_if(body, "launch_m", trace.launch);
  body.number("length_m", seen.length.value).text_if("link", trace.link);
  append_measured(body, "loss_db", "loss_u_db", seen.loss);
  append_link(body, seen);
  body.integer_if("number", trace.number).text_if("operator", trace.operator_name);
  body.number("pulse_ns", trace.pulse_ns);
  number_if(body, "range_m", trace.range);
  number_if(body, "receive_m", trace.receive);
  body.number("start_m", seen.start.value).number("step_m", trace.step.value);
  body.text_if("strand", trace.strand);
  if (trace.taken) append_time(body, *trace.taken);
  body.number("wavelength_nm", trace.wavelength.value);
  return {FactKind::trace, std::move(body).finish(), {trace.link, trace.strand}, {}};
}

Result<HeldTrace> trace_from(const FactFields& fields) {
  HeldTrace trace;
  trace.link = fields.text("link");
  trace.strand = fields.text("strand");
  trace.direction = fields.word("direction", parse_direction);
  trace.wavelength = {fields.needed_number("wavelength_nm")};
  trace.pulse_ns = fields.needed_number("pulse_ns");
  trace.index = {fields.needed_number("group_index")};
  trace.step = {fields.needed_number("step_m")};
  trace.range = quantity<Metres>(fields, "range_m");
  trace.launch = quantity<Metres>(fields, "launch_m");
  trace.receive = quantity<Metres>(fields, "receive_m");
  trace.averages = fields.number("averages").value_or(0);
  trace.taken = fields.instant();
  trace.instrument = fields.text("instrument");
  trace.operator_name = fields.text("operator");
  trace.number = static_cast<int>(fields.integer("number").value_or(0));
  trace.detectable = {fields.needed_number("detectable_db")};
  trace.end = fields.word("end", parse_end).value_or(EndState::found);
  trace.seen.start = {fields.needed_number("start_m")};
  trace.seen.length = {fields.needed_number("length_m")};
  trace.seen.ends = quantity<Metres>(fields, "ends_m");
  trace.seen.blind = {fields.needed_number("blind_m")};
  trace.seen.loss = measured(fields, "loss_db", "loss_u_db");
  trace.seen.near_end_measured = fields.integer("near_end_measured").value_or(0) != 0;
  trace.seen.far_end_measured = fields.integer("far_end_measured").value_or(0) != 0;
  for (const FactFields& note : fields.objects("notes")) trace.seen.notes.emplace_back(note.text("text"));
  for (const FactFields& event : fields.objects("events")) {
    trace.seen.events.push_back(event_from(event));
    if (const Result<Done> done = event.check(); !done) return done.problem();
  }
  trace.at.file = fields.text("file");
  return checked(std::move(trace), fields);
}

FactDraft to_fact(const SpliceAttempt& attempt, std::string_view entry) {
  CanonicalObject body;
  body.number("at_m", attempt.from_a.value).integer_if("attempt", attempt.attempt);
  body.text_if("entry", entry).text_if("link", attempt.link);
  body.text_if("method", word_of(attempt.method)).text_if("person", attempt.person);
  body.text_if("strand", attempt.strand);
  if (attempt.time) append_time(body, *attempt.time);
  return {FactKind::splice_attempt, std::move(body).finish(), {attempt.link, attempt.strand}, {}};
}

Result<SpliceAttempt> splice_attempt_from(const FactFields& fields) {
  SpliceAttempt attempt;
  attempt.link = fields.text("link");
  attempt.strand = fields.text("strand");
  attempt.from_a = {fields.needed_number("at_m")};
  attempt.attempt = static_cast<int>(fields.integer("attempt").value_or(0));
  if (attempt.attempt < 1) fields.mark("attempt");
  attempt.method = fields.word("method", parse_splice_method);
  attempt.time = fields.instant();
  attempt.person = fields.text("person");
  return checked(std::move(attempt), fields);
}

}  // namespace strandbook
