#include "front/service/service.hpp"

#include "front/service/api.hpp"
#include "front/service/http_text.hpp"
#include "front/service/spoken.hpp"
#include "front/service/static_files.hpp"
#include "workflow/user_folders.hpp"

namespace strandbook {
namespace {

constexpr std::uint64_t json_limit = 1U << 20;
// A screen asks for a dozen things when it opens, and a crew types a reading every few seconds.
constexpr double most_at_once = 300;
constexpr double most_each_second = 50;
constexpr std::uint64_t import_limit = 512ULL << 20;

bool is_api(const Request& request) { return !request.segments.empty() && request.segments.front() == "api"; }
bool is_pairing(const Request& request) { return request.path == "/pair"; }

}  // namespace

Service::Service(std::vector<std::string> paths, Pairing* pairing)
    : jobs(std::move(paths)),
      pairing_(pairing),
      rate_(most_at_once, most_each_second, [] { return std::chrono::steady_clock::now(); }),
      web_folder_(strandbook::web_folder()) {}

Lane Service::lane_of(const Request& request) const {
  if (!is_api(request)) return Lane::read;
  const RouteMatch match = match_route(request);
  return match.route == nullptr ? Lane::here : match.route->lane;
}

std::uint64_t Service::body_limit(const Request& request) const {
  // Who may not come in may not send much either.
  if (why_refused(request, shared() ? Reach::network : Reach::this_computer)) return json_limit;
  const RouteMatch match = match_route(request);
  if (match.route == nullptr) return json_limit;
  const Handler handler = match.route->handler;
  const bool takes_files = handler == post_import || handler == post_compare || handler == post_merge ||
                           handler == post_document || handler == post_handover;
  if (!takes_files || (pairing_ != nullptr && !pairing_->who(request))) return json_limit;
  return import_limit;
}

Response Service::refusal(int status, std::string_view words) const {
  Response response = problem_response({{}, std::string(words), "", ""}, status);
  add_safe_headers(response);
  return response;
}

Response Service::api(const Request& request) {
  const RouteMatch match = match_route(request);
  if (match.route != nullptr && request.caller.role < match.route->least)
    return problem_response({{},
                             request.caller.name + ", let in as " + std::string(text_of(request.caller.role)),
                             "a person let in as " + std::string(text_of(match.route->least)),
                             "Ask the lead to do it, or to let you in anew."},
                            403);
  if (match.route != nullptr) return match.route->handler(*this, request, match.captures);
  if (match.path_known)
    return problem_response({{}, request.method + " " + request.path, "a method of this path", ""}, 405);
  return problem_response({{}, request.path, "a path of /api/v1/openapi.json", ""}, not_found);
}

/// Where the site is shared: the page where a code is typed, and nothing else for who did not come in.
std::optional<Response> Service::turned_away(Request& request) {
  const std::optional<Session> session = pairing_->who(request);
  if (!rate_.allows(session ? session->id : request.remote_address))
    return problem_response({{}, "more requests than one device may send", "", "Wait a moment."}, 429);
  if (is_pairing(request)) return pairing_->answer(request);
  if (!session) return pairing_->turn_away(request);
  request.caller = {session->name, session->role, session->id};
  return std::nullopt;
}

Response Service::answered(Request& request) {
  if (const auto why = why_refused(request, shared() ? Reach::network : Reach::this_computer))
    return problem_response({{}, *why, "a request of this program's own screens", ""}, 403);
  if (pairing_ != nullptr)
    if (std::optional<Response> away = turned_away(request)) return std::move(*away);
  if (is_api(request)) return api(request);
  if (request.method != "GET" && request.method != "HEAD")
    return problem_response({{}, request.method + " " + request.path, "GET", ""}, 405);
  return static_file(web_folder_, request);
}

Response Service::handle(Request& request) {
  for (auto& [name, value] : request.headers) value = with_valid_utf8(std::move(value));
  Response response = answered(request);
  speak(request, response);
  add_safe_headers(response);
  if (!response.events) compress(request, response);
  // A device that is cut off hears no more either.
  if (response.events && pairing_ != nullptr)
    response.may_go_on = [pairing = pairing_, cookie = std::string(request.header("cookie"))] {
      Request asked;
      asked.headers["cookie"] = cookie;
      return pairing->who(asked).has_value();
    };
  return response;
}

void Service::stop() {
  imports.stop();
  tasks.stop();
}

}  // namespace strandbook
