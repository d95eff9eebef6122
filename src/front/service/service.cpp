#include "front/service/service.hpp"

#include "front/service/api.hpp"
#include "front/service/http_text.hpp"
#include "front/service/spoken.hpp"
#include "front/service/static_files.hpp"

namespace strandbook {
namespace {

constexpr std::uint64_t json_limit = 1U << 20;
constexpr std::uint64_t import_limit = 512ULL << 20;

bool is_api(const Request& request) { return !request.segments.empty() && request.segments.front() == "api"; }
bool is_pairing(const Request& request) { return request.path == "/pair"; }

}  // namespace

Service::Service(std::vector<std::string> paths, Pairing* pairing)
    : jobs(std::move(paths)), pairing_(pairing), web_folder_(find_web_folder()) {}

Lane Service::lane_of(const Request& request) const {
  if (!is_api(request)) return Lane::read;
  const RouteMatch match = match_route(request);
  return match.route == nullptr ? Lane::here : match.route->lane;
}

std::uint64_t Service::body_limit(const Request& request) const {
  // Who may not come in may not send much either.
  if (why_refused(request, shared() ? Reach::network : Reach::this_computer)) return json_limit;
  if (pairing_ != nullptr && !pairing_->knows(request)) return json_limit;
  const RouteMatch match = match_route(request);
  if (match.route == nullptr) return json_limit;
  return match.route->handler == post_import ? import_limit : json_limit;
}

Response Service::refusal(int status, std::string_view words) const {
  Response response = problem_response({{}, std::string(words), "", ""}, status);
  add_safe_headers(response);
  return response;
}

Response Service::api(const Request& request) {
  const RouteMatch match = match_route(request);
  if (match.route != nullptr) return match.route->handler(*this, request, match.captures);
  if (match.path_known)
    return problem_response({{}, request.method + " " + request.path, "a method of this path", ""}, 405);
  return problem_response({{}, request.path, "a path of /api/v1/openapi.json", ""}, not_found);
}

Response Service::answered(const Request& request) {
  if (const auto why = why_refused(request, shared() ? Reach::network : Reach::this_computer))
    return problem_response({{}, *why, "a request of this program's own screens", ""}, 403);
  if (pairing_ != nullptr && is_pairing(request)) return pairing_->answer(request);
  if (pairing_ != nullptr && !pairing_->knows(request)) return pairing_->turn_away(request);
  if (is_api(request)) return api(request);
  if (request.method != "GET" && request.method != "HEAD")
    return problem_response({{}, request.method + " " + request.path, "GET", ""}, 405);
  return static_file(web_folder_, request);
}

Response Service::handle(const Request& request) {
  Response response = answered(request);
  speak(request, response);
  add_safe_headers(response);
  if (!response.events) compress(request, response);
  return response;
}

void Service::stop() {
  imports.stop();
  tasks.stop();
}

}  // namespace strandbook
