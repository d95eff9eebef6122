// What the owner demands of the pack, and what people add for him: statements, notes, documents.

#include <chrono>

#include "front/service/api.hpp"
#include "front/service/entries_in.hpp"
#include "workflow/check_handover.hpp"
#include "workflow/statements.hpp"

namespace strandbook {
namespace {

Response kept(ServedJob& job, const Result<Remark>& remark, const std::string& by) {
  if (!remark) return problem_response(remark.problem(), bad_request);
  const Result<Recorded> recorded = job.live->remark(*remark, by);
  if (!recorded) return problem_response(recorded.problem(), conflict);
  return json_response("{\"revision\":" + std::to_string(recorded->revision) + "}");
}

}  // namespace

Response get_preflight(Service& service, const Request&, const Captures& captures) {
  return with_job(service, captures, [](ServedJob& job) {
    Response response;
    job.live->look_at_findings([&](const JobView& view, const Findings& findings) {
      const Result<std::optional<OwnerProfile>> profile = profile_in(view.rule_choices);
      if (view.judgement == nullptr || !profile) {
        response = problem_response(profile ? *view.problem : profile.problem(), conflict);
        return;
      }
      const JobToHandOver all{view.name, view.judgement->all(), findings, view.unread.size()};
      const DecisionRule decision = *profile ? decision_of(**profile) : DecisionRule{};
      const PackRecord pack = pack_of(all, view.remarks, view.imports, now_utc());
      response = json_response(
          preflight_json(all, *profile, preflight(all, decision, *profile ? &**profile : nullptr, pack)));
    });
    return response;
  });
}

Response post_statement(Service& service, const Request& request, const Captures& captures) {
  Result<FieldsIn> fields = FieldsIn::parse(request);
  if (!fields) return problem_response(fields.problem(), bad_request);
  const std::string field = fields->needed_text("field");
  const std::string text = fields->needed_text("text", 2000);
  const std::string person = fields->needed_text("person");
  if (const Result<Done> done = fields->check(); !done) return problem_response(done.problem(), bad_request);
  return with_job(service, captures, [&](ServedJob& job) {
    return kept(job, statement(field, text, person), author_of(request.caller));
  });
}

Response post_note(Service& service, const Request& request, const Captures& captures) {
  Result<FieldsIn> fields = FieldsIn::parse(request);
  if (!fields) return problem_response(fields.problem(), bad_request);
  const Subject strand{fields->text("link", 300).value_or(""), fields->needed_text("strand")};
  const std::string text = fields->needed_text("text", 2000);
  const std::string person = fields->needed_text("person");
  if (const Result<Done> done = fields->check(); !done) return problem_response(done.problem(), bad_request);
  return with_job(service, captures, [&](ServedJob& job) {
    return kept(job, note_on_strand(strand, text, person), author_of(request.caller));
  });
}

Response post_document(Service& service, const Request& request, const Captures& captures) {
  const std::string name = query_text(request, "file");
  if (name.empty() || name.size() > 255)
    return problem_response({{}, "no name of a file", "file=NAME", ""}, bad_request);
  const Result<ImportedFile> file = enclosed_document(query_text(request, "form"), name, request.body);
  if (!file) return problem_response(file.problem(), bad_request);
  return with_job(service, captures, [&](ServedJob& job) {
    const Result<Imported> imported = job.live->import(*file, {}, author_of(request.caller));
    if (!imported) return problem_response(imported.problem(), conflict);
    return json_response("{\"words\":" + text_json(words_for(*file, {}, *imported)) +
                         ",\"revision\":" + std::to_string(revision_of(job)) + "}");
  });
}

}  // namespace strandbook
