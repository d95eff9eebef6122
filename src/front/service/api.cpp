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

}  // namespace

#define JOB "/api/v1/jobs/{job}"
const std::vector<Route>& api_routes() {
  static const std::vector<Route> routes{
      {"GET", "/api/v1/about", Lane::here, get_about},
      {"GET", "/api/v1/openapi.json", Lane::here, get_openapi},
      {"GET", "/api/v1/jobs", Lane::read, get_jobs},
      {"POST", "/api/v1/jobs", Lane::write, post_job},
      {"GET", JOB, Lane::read, get_job},
      {"GET", JOB "/map", Lane::read, get_map},
      {"GET", JOB "/strand", Lane::read, get_strand},
      {"POST", JOB "/preview", Lane::read, post_preview},
      {"GET", JOB "/readings", Lane::read, get_readings},
      {"POST", JOB "/readings", Lane::write, post_reading},
      {"POST", JOB "/readings/batch", Lane::write, post_batch},
      {"POST", JOB "/corrections", Lane::write, post_correction},
      {"POST", JOB "/withdrawals", Lane::write, post_withdrawal},
      {"GET", JOB "/references", Lane::read, get_references},
      {"POST", JOB "/references", Lane::write, post_reference},
      {"POST", JOB "/cord-checks", Lane::write, post_cord_check},
      {"GET", JOB "/findings", Lane::read, get_findings},
      {"POST", JOB "/acknowledgements", Lane::write, post_acknowledgement},
      {"GET", JOB "/leftovers", Lane::read, get_leftovers},
      {"GET", JOB "/applications", Lane::read, get_applications},
      {"GET", JOB "/applications/answers", Lane::read, get_application_answers},
      {"POST", JOB "/rule", Lane::write, post_rule},
      {"POST", JOB "/imports", Lane::write, post_import},
      {"GET", JOB "/imports/{import}", Lane::read, get_import},
      {"DELETE", JOB "/imports/{import}", Lane::read, delete_import},
      {"POST", JOB "/imports/{import}/choices", Lane::write, post_import_choices},
      {"POST", JOB "/imports/{import}/accept", Lane::write, post_import_accept},
      {"GET", JOB "/events", Lane::read, get_events},
      {"POST", JOB "/handover", Lane::read, post_handover},
      {"GET", "/api/v1/tasks/{task}", Lane::here, get_task},
      {"DELETE", "/api/v1/tasks/{task}", Lane::here, delete_task},
      {"GET", "/api/v1/tasks/{task}/file", Lane::read, get_task_file},
      {"GET", "/api/v1/rules", Lane::read, get_rules},
      {"POST", "/api/v1/rules/check", Lane::read, post_rule_check},
      {"GET", "/api/v1/rules/{id}", Lane::read, get_rule},
      {"GET", "/api/v1/profiles", Lane::read, get_profiles},
      {"GET", "/api/v1/profiles/{id}", Lane::read, get_profile},
      {"POST", "/api/v1/limit", Lane::read, post_limit},
      {"GET", "/api/v1/applications", Lane::read, get_application_rows},
      {"GET", "/api/v1/engineer", Lane::read, get_engineer},
      {"POST", "/api/v1/engineer", Lane::read, post_engineer},
      {"POST", "/api/v1/level", Lane::read, post_level},
      {"GET", "/api/v1/instruments", Lane::read, get_instruments},
      {"PUT", "/api/v1/instruments", Lane::write, put_instruments},
      {"POST", "/api/v1/instruments/read", Lane::instrument, post_instrument_read},
  };
  return routes;
}
#undef JOB

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
