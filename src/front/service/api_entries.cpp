// What screens record: readings one by one or after a time without network, references, corrections.

#include "front/service/api.hpp"
#include "front/service/entries_in.hpp"
#include "workflow/reference_work.hpp"
#include "workflow/see_finding.hpp"

namespace strandbook {
namespace {

void append_recorded(JsonMembers& members, const Recorded& kept) {
  members.text("fact", text_of(kept.fact));
  members.count("revision", kept.revision);
  members.truth("already", kept.already);
}

/// The test that a reading belongs to as it stands now; null where there is none.
std::string test_of(const ServedJob& job, const Reading& reading) {
  std::string out = "null";
  job.live->look([&](const JobView& view) {
    if (view.judgement == nullptr) return;
    const std::uint32_t strand = view.judgement->find(reading.link, reading.strand);
    if (strand == no_strand) return;
    for (const JudgedTest& test : view.judgement->tests_of(strand))
      if (test.wavelength == reading.wavelength &&
          (!reading.direction || !test.direction || test.direction == reading.direction))
        out = test_json(view, test, "[]");
  });
  return out;
}

/// A reading as a member of {fact, test, revision, already}, or an error.
struct Answered {
  std::string json;
  int status = 200;
};

Answered recorded(ServedJob& job, Result<FieldsIn> fields, const std::string& by) {
  if (!fields) return {error_json(fields.problem()), bad_request};
  const Result<ReadingIn> in = reading_in(std::move(*fields), EntryNeed::with_entry);
  if (!in) return {error_json(in.problem()), bad_request};
  const Result<Recorded> kept = job.live->record(in->entry, in->reading, by);
  if (!kept) return {error_json(kept.problem()), conflict};
  std::string out;
  JsonMembers members(out);
  members.raw("test", test_of(job, in->reading));
  append_recorded(members, *kept);
  members.end();
  return {std::move(out), 200};
}

std::map<std::string, std::string> values_in(FieldsIn& fields) {
  std::map<std::string, std::string> values;
  const JsonNode* node = fields.object("values");
  if (node == nullptr || node->items.empty()) {
    fields.note("values", "nothing", "fields and their new values");
    return values;
  }
  for (const JsonNode& member : node->items) {
    if (member.kind != JsonKind::text) fields.note("values", words_of(member), "texts, such as \"0.52\"");
    values[member.key] = member.text;
  }
  return values;
}

/// Reads a body with a ground, does `work` and answers the revision.
Response changed(Service& service, const Request& request, const Captures& captures,
                 const std::function<Result<Done>(ServedJob&, FieldsIn&, const Ground&)>& work) {
  Result<FieldsIn> fields = FieldsIn::parse(request);
  if (!fields) return problem_response(fields.problem(), bad_request);
  const Ground ground = ground_in(*fields);
  return with_job(service, captures, [&](ServedJob& job) {
    const Result<Done> done = work(job, *fields, ground);
    if (!done) return problem_response(done.problem(), fields->check() ? conflict : bad_request);
    return json_response(revision_json(revision_of(job)));
  });
}

/// Records what came as a reference does and answers {fact, revision, already}.
template <class In, class Value>
Response kept_entry(Service& service, const Request& request, const Captures& captures,
                    Result<In> (*read)(FieldsIn), Value In::*value) {
  Result<FieldsIn> fields = FieldsIn::parse(request);
  if (!fields) return problem_response(fields.problem(), bad_request);
  const Result<In> in = read(std::move(*fields));
  if (!in) return problem_response(in.problem(), bad_request);
  return with_job(service, captures, [&](ServedJob& job) {
    const Result<Recorded> kept = job.live->record(in->entry, (*in).*value, author_of(request.caller));
    if (!kept) return problem_response(kept.problem(), conflict);
    std::string out;
    JsonMembers members(out);
    append_recorded(members, *kept);
    members.end();
    return json_response(std::move(out));
  });
}

}  // namespace

Response post_reading(Service& service, const Request& request, const Captures& captures) {
  return with_job(service, captures, [&](ServedJob& job) {
    Answered kept = recorded(job, FieldsIn::parse(request), author_of(request.caller));
    return json_response(std::move(kept.json), kept.status);
  });
}

Response post_batch(Service& service, const Request& request, const Captures& captures) {
  constexpr std::size_t most = 1000;
  const Result<JsonNode> list = parse_json(request.body, "request");
  if (!list) return problem_response(list.problem(), bad_request);
  if (list->kind != JsonKind::list || list->items.size() > most)
    return problem_response({{"request", {}, 0, {}}, words_of(*list), "a list of at most 1000 readings", ""},
                            bad_request);
  return with_job(service, captures, [&](ServedJob& job) {
    std::string out;
    append_json_list(out, list->items, [&](const JsonNode& each) {
      if (each.kind == JsonKind::object)
        out += recorded(job, FieldsIn(each), author_of(request.caller)).json;
      else
        out += error_json({{"request", {}, each.line, {}}, words_of(each), "a reading", ""});
    });
    return json_response(std::move(out));
  });
}

Response post_correction(Service& service, const Request& request, const Captures& captures) {
  return changed(service, request, captures, [&](ServedJob& job, FieldsIn& fields, const Ground& ground) {
    const std::string fact = fields.needed_text("fact");
    const auto values = values_in(fields);
    if (Result<Done> done = fields.check(); !done) return done;
    return job.live->correct(fact, values, ground, author_of(request.caller));
  });
}

Response post_withdrawal(Service& service, const Request& request, const Captures& captures) {
  return changed(service, request, captures, [&](ServedJob& job, FieldsIn& fields, const Ground& ground) {
    const std::string fact = fields.needed_text("fact");
    if (Result<Done> done = fields.check(); !done) return done;
    return job.live->withdraw(fact, ground, author_of(request.caller));
  });
}

Response post_acknowledgement(Service& service, const Request& request, const Captures& captures) {
  return changed(service, request, captures,
                 [&](ServedJob& job, FieldsIn& fields, const Ground& ground) -> Result<Done> {
                   const std::string key = fields.needed_text("key", 300);
                   if (Result<Done> done = fields.check(); !done) return done;
                   const Result<Recorded> kept =
                       acknowledge(*job.live, key, ground, author_of(request.caller));
                   if (!kept) return kept.problem();
                   return Done{};
                 });
}

Response post_reference(Service& service, const Request& request, const Captures& captures) {
  return kept_entry(service, request, captures, reference_in, &ReferenceIn::reference);
}

Response post_splice_attempt(Service& service, const Request& request, const Captures& captures) {
  return kept_entry(service, request, captures, splice_attempt_in, &SpliceAttemptIn::attempt);
}

Response post_cord_check(Service& service, const Request& request, const Captures& captures) {
  Result<FieldsIn> fields = FieldsIn::parse(request);
  if (!fields) return problem_response(fields.problem(), bad_request);
  const Result<CordCheckIn> in = cord_check_in(std::move(*fields));
  if (!in) return problem_response(in.problem(), bad_request);
  return with_job(service, captures, [&](ServedJob& job) {
    const Result<Recorded> kept = job.live->record(in->entry, in->check, author_of(request.caller));
    if (!kept) return problem_response(kept.problem(), conflict);
    std::string out;
    JsonMembers members(out);
    members.text("outcome", holds(in->check) ? "pass" : "fail");
    members.text("advice", advice_on(in->check));
    append_recorded(members, *kept);
    members.end();
    return json_response(std::move(out));
  });
}

}  // namespace strandbook
