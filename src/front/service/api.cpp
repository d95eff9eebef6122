#include "front/service/api.hpp"

#include <string_view>

namespace strandbook {
namespace {

/// True where the path fits the pattern; the values of its braces go to `captures`.
bool fits(std::string_view pattern, const std::vector<std::string>& segments, Captures& captures) {
  captures.clear();
  pattern.remove_prefix(1);
  for (std::size_t i = 0; i < segments.size(); ++i) {
    const std::size_t slash = pattern.find('/');
    const std::string_view part = pattern.substr(0, slash);
    const bool last = slash == std::string_view::npos;
    if (part.starts_with('{')) {
      if (segments[i].empty()) return false;
      captures.push_back(segments[i]);
    } else if (part != segments[i]) {
      return false;
    }
    if (last) return i + 1 == segments.size();
    pattern.remove_prefix(slash + 1);
  }
  return false;
}

#define JOB "/api/v1/jobs/{job}"
const std::vector<Route> job_routes{
    {"GET", JOB, Lane::read, Role::reads, get_job},
    {"GET", JOB "/map", Lane::read, Role::reads, get_map},
    {"GET", JOB "/strand", Lane::read, Role::reads, get_strand},
    {"POST", JOB "/preview", Lane::read, Role::reads, post_preview},
    {"GET", JOB "/readings", Lane::read, Role::reads, get_readings},
    {"POST", JOB "/readings", Lane::write, Role::crew, post_reading},
    {"POST", JOB "/readings/batch", Lane::write, Role::crew, post_batch},
    {"POST", JOB "/corrections", Lane::write, Role::lead, post_correction},
    {"POST", JOB "/withdrawals", Lane::write, Role::lead, post_withdrawal},
    {"GET", JOB "/references", Lane::read, Role::reads, get_references},
    {"POST", JOB "/references", Lane::write, Role::crew, post_reference},
    {"POST", JOB "/cord-checks", Lane::write, Role::crew, post_cord_check},
    {"POST", JOB "/splice-attempts", Lane::write, Role::crew, post_splice_attempt},
    {"GET", JOB "/findings", Lane::read, Role::reads, get_findings},
    {"POST", JOB "/acknowledgements", Lane::write, Role::crew, post_acknowledgement},
    {"GET", JOB "/traces", Lane::read, Role::reads, get_traces},
    {"GET", JOB "/traces/{trace}", Lane::read, Role::reads, get_trace},
    {"GET", JOB "/traces/{trace}/levels", Lane::read, Role::reads, get_trace_levels},
    {"GET", JOB "/traces/{trace}/readout", Lane::read, Role::reads, get_trace_readout},
    {"GET", JOB "/leftovers", Lane::read, Role::reads, get_leftovers},
    {"GET", JOB "/applications", Lane::read, Role::reads, get_applications},
    {"GET", JOB "/applications/answers", Lane::read, Role::reads, get_application_answers},
    {"GET", JOB "/prediction", Lane::read, Role::reads, get_prediction},
    {"POST", JOB "/rule", Lane::write, Role::lead, post_rule},
    {"POST", JOB "/imports", Lane::write, Role::crew, post_import},
    {"GET", JOB "/imports/{import}", Lane::read, Role::crew, get_import},
    {"DELETE", JOB "/imports/{import}", Lane::read, Role::crew, delete_import},
    {"POST", JOB "/imports/{import}/choices", Lane::write, Role::crew, post_import_choices},
    {"POST", JOB "/imports/{import}/accept", Lane::write, Role::crew, post_import_accept},
    {"POST", JOB "/merge", Lane::write, Role::crew, post_merge},
    {"POST", JOB "/carry", Lane::read, Role::crew, post_carry},
    {"GET", JOB "/ends", Lane::read, Role::reads, get_ends},
    {"GET", JOB "/audit", Lane::read, Role::reads, get_audit},
    {"GET", JOB "/events", Lane::read, Role::reads, get_events},
    {"GET", JOB "/preflight", Lane::read, Role::reads, get_preflight},
    {"POST", JOB "/statements", Lane::write, Role::lead, post_statement},
    {"POST", JOB "/notes", Lane::write, Role::crew, post_note},
    {"POST", JOB "/documents", Lane::write, Role::lead, post_document},
    {"GET", JOB "/parts", Lane::read, Role::reads, get_parts},
    {"POST", JOB "/compare", Lane::read, Role::crew, post_compare},
    {"POST", JOB "/handover", Lane::read, Role::lead, post_handover},
};
#undef JOB

const std::vector<Route> other_routes{
    {"GET", "/api/v1/about", Lane::here, Role::reads, get_about},
    {"GET", "/api/v1/openapi.json", Lane::here, Role::reads, get_openapi},
    {"GET", "/api/v1/jobs", Lane::read, Role::reads, get_jobs},
    {"POST", "/api/v1/jobs", Lane::write, Role::lead, post_job},
    {"GET", "/api/v1/tasks/{task}", Lane::here, Role::reads, get_task},
    {"DELETE", "/api/v1/tasks/{task}", Lane::here, Role::lead, delete_task},
    {"GET", "/api/v1/tasks/{task}/file", Lane::read, Role::reads, get_task_file},
    {"GET", "/api/v1/people", Lane::read, Role::lead, get_people},
    {"POST", "/api/v1/people/invitations", Lane::write, Role::lead, post_invitation},
    {"DELETE", "/api/v1/people/{id}", Lane::write, Role::lead, delete_person},
    {"GET", "/api/v1/rules", Lane::read, Role::reads, get_rules},
    {"POST", "/api/v1/rules/check", Lane::read, Role::reads, post_rule_check},
    {"GET", "/api/v1/rules/{id}", Lane::read, Role::reads, get_rule},
    {"GET", "/api/v1/profiles", Lane::read, Role::reads, get_profiles},
    {"GET", "/api/v1/profiles/{id}", Lane::read, Role::reads, get_profile},
    {"POST", "/api/v1/limit", Lane::read, Role::reads, post_limit},
    {"GET", "/api/v1/applications", Lane::read, Role::reads, get_application_rows},
    {"GET", "/api/v1/engineer", Lane::read, Role::reads, get_engineer},
    {"POST", "/api/v1/engineer", Lane::read, Role::reads, post_engineer},
    {"POST", "/api/v1/level", Lane::read, Role::reads, post_level},
    {"GET", "/api/v1/instruments", Lane::read, Role::reads, get_instruments},
    {"PUT", "/api/v1/instruments", Lane::write, Role::lead, put_instruments},
    {"POST", "/api/v1/instruments/read", Lane::instrument, Role::crew, post_instrument_read},
};

}  // namespace

const std::vector<Route>& api_routes() {
  static const std::vector<Route> routes = [] {
    std::vector<Route> all = job_routes;
    all.insert(all.end(), other_routes.begin(), other_routes.end());
    return all;
  }();
  return routes;
}

std::string query_text(const Request& request, const char* key) {
  const auto at = request.query.find(key);
  return at == request.query.end() ? std::string{} : at->second;
}

RouteMatch match_route(const Request& request) {
  RouteMatch match;
  for (const Route& route : api_routes()) {
    Captures captures;
    if (!fits(route.pattern, request.segments, captures)) continue;
    match.path_known = true;
    if (request.method != route.method &&
        !(request.method == "HEAD" && std::string_view(route.method) == "GET"))
      continue;
    match.route = &route;
    match.captures = std::move(captures);
    return match;
  }
  return match;
}

Response with_job(Service& service, const Captures& captures,
                  const std::function<Response(ServedJob&)>& work) {
  const std::shared_ptr<ServedJob> job = service.jobs.find(captures.front());
  if (!job)
    return problem_response({{}, "job \"" + captures.front() + "\"", "a job that is served", "See the list."},
                            not_found);
  if (!job->live) return problem_response(*job->problem, conflict);
  return work(*job);
}

std::uint64_t revision_of(const ServedJob& job) {
  std::uint64_t revision = 0;
  job.live->look([&](const JobView& view) { revision = view.revision; });
  return revision;
}

Ground ground_in(FieldsIn& fields) {
  Ground ground;
  ground.person = fields.needed_text("person");
  ground.reason = fields.needed_text("reason", 2000);
  return ground;
}

}  // namespace strandbook
