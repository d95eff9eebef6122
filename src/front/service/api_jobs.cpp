// The program, its jobs, a job at a glance.

#include "front/service/api.hpp"
#include "workflow/keep_book.hpp"
#include "workflow/know_profiles.hpp"
#include "workflow/profile_view.hpp"
#include "workflow/version.hpp"

namespace strandbook {
namespace {

std::optional<OwnerProfile> profile_of(const RuleChoice& choice) {
  if (choice.profile_text.empty()) return std::nullopt;
  Result<ProfileFile> file = read_profile_text(choice.profile_text, "profile in the book");
  return file ? std::optional(std::move(file->profile)) : std::nullopt;
}

void append_settings(std::string& out, const JobView& view) {
  const Held<RuleChoice>* held = view.rule_choices.empty() ? nullptr : &view.rule_choices.back();
  const RuleChoice choice = held == nullptr ? RuleChoice{} : held->value;
  JsonMembers members(out);
  members.maybe_text("rule", choice.rule);
  members.maybe_text("own_rule_text", choice.own_rule_text);
  const auto profile = profile_of(choice);
  members.raw("profile", profile ? profile_line_json(*profile) : "null");
  members.text("guard", text_of(choice.guard.value_or(GuardBand::none)));
  members.quantity("fixed_limit_db", choice.fixed_limit);
  members.name("wavelengths_nm");
  append_json_list(out, choice.wavelengths, [&](Nanometres each) { append_decimal(out, each.value, 6); });
  members.choice("directions", choice.directions);
  members.choice("reference_method", choice.method);
  members.choice("cord_grade", choice.cords);
  members.choice("configuration", choice.configuration);
  members.maybe_text("person", choice.person);
  members.maybe_text("reason", choice.reason);
  members.maybe_text("time", held == nullptr ? std::string{} : time_text(held->time_ms));
  members.end();
}

void append_counts(std::string& out, const JobView& view, const Findings& findings) {
  const Assessment* all = view.judgement == nullptr ? nullptr : &view.judgement->all();
  JsonMembers members(out);
  members.count("strands", view.schedule.size());
  members.count("links", link_runs(view.schedule).links.size());
  members.count("readings", view.reading_facts.size());
  members.count("references", view.references.size());
  members.count("imports", view.imports.size());
  members.count("unread_rows", view.unread.size());
  members.count("unmatched_readings", all == nullptr ? 0 : all->unmatched.size());
  members.count("findings", findings.size());
  members.end();
}

void append_import(std::string& out, const Held<ImportRecord>& import) {
  JsonMembers members(out);
  members.text("fact", text_of(import.fact));
  members.text("file", import.value.file);
  members.text("purpose", text_of(import.value.purpose));
  members.text("time", time_text(import.time_ms));
  members.name("notes");
  append_json_list(out, import.value.notes,
                   [&](const ImportNote& note) { append_json_text(out, note.text); });
  members.end();
}

void append_rule(JsonMembers& members, const JobView& view) {
  const std::string id = view.rule_choices.empty() ? std::string{} : view.rule_choices.back().value.rule;
  const RuleSet* rule = view.rulebook == nullptr ? nullptr : find_rule(*view.rulebook, id);
  members.raw("rule", rule == nullptr ? "null" : rule_line_json(*rule));
  const bool guarded = view.judgement != nullptr && view.judgement->all().guard != GuardBand::none;
  members.text("guard", guarded ? "U" : "none");
}

std::string job_json(const std::string& id, const JobView& view, const Findings& findings) {
  std::string out;
  JsonMembers members(out);
  members.text("id", id);
  members.text("name", view.name);
  members.count("revision", view.revision);
  members.raw("problem", view.problem ? problem_json(*view.problem) : "null");
  append_rule(members, view);
  members.name("settings");
  append_settings(out, view);
  members.raw("summary", summary_json(summary_of(view)));
  members.name("counts");
  append_counts(out, view, findings);
  members.name("imports");
  append_json_list(out, view.imports, [&](const auto& each) { append_import(out, each); });
  const ReferencePractice practice =
      view.judgement == nullptr ? ReferencePractice{} : view.judgement->settings().references;
  members.raw("reference_valid_s", practice.valid_for_s ? std::to_string(*practice.valid_for_s) : "null");
  if (view.judgement == nullptr)
    members.raw("change_allowed_db", "null");
  else
    members.number("change_allowed_db", practice.change_allowed.value);
  members.end();
  return out;
}

void append_link(std::string& out, const ScheduledStrand& strand) {
  JsonMembers members(out);
  members.text("link", link_name(strand));
  members.text("cable", strand.cable);
  members.text("building", strand.building);
  members.text("end_a", strand.end_a);
  members.text("end_b", strand.end_b);
  members.choice("fibre", strand.fibre);
  members.quantity("length_m", strand.length);
  members.end();
}

void append_strands(std::string& out, JsonMembers& members, const Schedule& schedule) {
  const LinkRuns runs = link_runs(schedule);
  members.name("links");
  append_json_list(out, runs.links, [&](std::uint32_t strand) { append_link(out, schedule[strand]); });
  members.name("runs");
  append_json_list(out, runs.runs, [&](const auto& run) {
    out += "[" + std::to_string(run.first) + "," + std::to_string(run.second) + "]";
  });
  members.name("strands");
  append_json_list(out, schedule, [&](const ScheduledStrand& each) { append_json_text(out, each.strand); });
}

void append_column(std::string& out, const MapColumn& column) {
  JsonMembers members(out);
  members.quantity("wavelength_nm", stated(column.wavelength));
  members.choice("direction", column.direction);
  members.end();
}

std::string map_json(const JobView& view) {
  std::string out;
  out.reserve(view.schedule.size() * 16 + 4096);
  JsonMembers members(out);
  members.count("revision", view.revision);
  append_strands(out, members, view.schedule);
  const std::vector<MapColumn> columns =
      view.judgement == nullptr ? std::vector<MapColumn>{} : columns_of(*view.judgement);
  members.name("columns");
  append_json_list(out, columns, [&](const MapColumn& each) { append_column(out, each); });
  const bool judged = view.judgement != nullptr;
  members.name("cells");
  append_json_list(out, judged ? cells_of(*view.judgement, columns) : std::vector<std::string>{},
                   [&](const std::string& cells) { append_json_text(out, cells); });
  PeopleOfStrands people = judged ? people_of(*view.judgement) : PeopleOfStrands{};
  people.of.resize(view.schedule.size(), -1);
  members.name("people");
  append_json_list(out, people.people, [&](const std::string& name) { append_json_text(out, name); });
  members.name("people_of");
  append_json_list(out, people.of, [&](std::int32_t of) { out += std::to_string(of); });
  members.end();
  return out;
}

}  // namespace

Response get_about(Service& service, const Request& request, const Captures&) {
  static const Result<Device> device = load_or_create_device(device_file(), system_surroundings());
  std::string out;
  JsonMembers members(out);
  members.text("program", "strandbook");
  members.text("version", program_version);
  members.truth("can_create_jobs", service.jobs.can_create());
  members.truth("shared", service.shared());
  members.maybe_text("person", request.caller.name);
  members.text("role", text_of(request.caller.role));
  members.maybe_text("device", device ? text_of(device->id) : std::string{});
  members.end();
  return json_response(std::move(out));
}

Response get_openapi(Service&, const Request&, const Captures&) { return json_response(openapi_document); }

Response get_jobs(Service& service, const Request&, const Captures&) {
  std::string out;
  append_json_list(out, service.jobs.all(), [&](const std::shared_ptr<ServedJob>& job) {
    JsonMembers members(out);
    members.text("id", job->id);
    const auto line = [&](std::string_view name, const Summary& summary, std::uint64_t revision,
                          const std::optional<Problem>& problem) {
      members.text("name", name);
      members.raw("summary", summary_json(summary));
      members.count("revision", revision);
      members.raw("problem", problem ? problem_json(*problem) : "null");
    };
    if (job->live)
      job->live->look(
          [&](const JobView& view) { line(view.name, summary_of(view), view.revision, view.problem); });
    else
      line(job->id, Summary{}, 0, job->problem);
    members.end();
  });
  return json_response(std::move(out));
}

Response post_job(Service& service, const Request& request, const Captures&) {
  Result<FieldsIn> fields = FieldsIn::parse(request);
  if (!fields) return problem_response(fields.problem(), bad_request);
  const std::string name = fields->needed_text("name");
  if (const Result<Done> done = fields->check(); !done) return problem_response(done.problem(), bad_request);
  const Result<std::string> id = service.jobs.create(name);
  if (!id) return problem_response(id.problem(), conflict);
  return json_response("{\"id\":" + text_json(*id) + "}", 201);
}

Response get_job(Service& service, const Request&, const Captures& captures) {
  return with_job(service, captures, [](ServedJob& job) {
    std::string out;
    job.live->look_at_findings(
        [&](const JobView& view, const Findings& findings) { out = job_json(job.id, view, findings); });
    return json_response(std::move(out));
  });
}

Response get_map(Service& service, const Request&, const Captures& captures) {
  return with_job(service, captures, [](ServedJob& job) {
    std::string out;
    job.live->look([&](const JobView& view) { out = map_json(view); });
    return json_response(std::move(out));
  });
}

Response get_events(Service& service, const Request&, const Captures& captures) {
  return with_job(service, captures, [](ServedJob& job) {
    Response response;
    response.type = "text/event-stream";
    std::string overflow;
    job.live->look([&](const JobView& view) {
      overflow = "{\"revision\":" + std::to_string(view.revision) +
                 ",\"summary\":" + summary_json(summary_of(view)) +
                 ",\"whole\":true,\"strands\":[],\"by\":null}";
    });
    response.events = job.hub.listen(event_text("change", overflow));
    return response;
  });
}

}  // namespace strandbook
