#include "front/service/sharing.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "edge/texts/catalogue.hpp"
#include "front/service/http_text.hpp"
#include "front/service/json_out.hpp"
#include "front/service/spoken.hpp"

namespace strandbook {
namespace {

constexpr std::string_view cookie_name = "strandbook";
constexpr std::size_t most_failures = 5;
constexpr auto failures_count_for = std::chrono::minutes(10);
/// What stands in the form already, where the code came with the address (a QR code).
std::string escaped(std::string_view text) {
  std::string out;
  for (const char c : text) {
    const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-';
    if (plain) out += c;
  }
  return out;
}

Response page(const Request& request, int status, const std::string& words, std::string_view code = {}) {
  const bool german = wants_german(request);
  const auto say = [&](std::string_view text) {
    return german ? german_catalogue().translated(text) : std::string(text);
  };
  Response response;
  response.status = status;
  response.type = "text/html; charset=utf-8";
  response.body = std::make_shared<const std::string>(
      fmt::format("<!doctype html><html lang=\"{}\"><meta charset=\"utf-8\"><meta name=\"viewport\" "
                  "content=\"width=device-width\"><title>strandbook</title><h1>{}</h1><p>{}</p>"
                  "<form method=\"post\" action=\"/pair\"><label>Code <input name=\"code\" value=\"{}\" "
                  "autocomplete=\"off\" autofocus required></label> <button>{}</button></form></html>",
                  german ? "de" : "en", say("Join this book"), say(words), escaped(code), say("Join")));
  response.headers.emplace_back("Vary", "Accept-Language");
  // Without a referrer a browser sends the form as from nowhere, and nothing from nowhere is taken.
  response.headers.emplace_back("Referrer-Policy", "same-origin");
  return response;
}

constexpr const char* usual_words =
    "Type the code that the lead shows you, or point the camera at it. It works once.";

}  // namespace

Pairing::Pairing(People& people, Clock clock) : people_(people), clock_(std::move(clock)) {}

std::optional<Session> Pairing::who(const Request& request) {
  return people_.who(cookie_of(request, cookie_name));
}

bool Pairing::too_many_attempts() {
  const auto now = clock_();
  std::erase_if(failures_, [&](const auto& at) { return now - at > failures_count_for; });
  return failures_.size() >= most_failures;
}

Response Pairing::let_in(const Request& request, const std::string& code) {
  const Result<std::optional<Joined>> joined =
      people_.join(code, std::string(request.header("user-agent").substr(0, 200)));
  if (!joined) return problem_response(joined.problem(), 500);
  if (!*joined) {
    failures_.push_back(clock_());
    return page(request, 403, "That is no code that is good now. Each works once, and for fifteen minutes.");
  }
  Response response = page(request, 303, "");
  response.headers.emplace_back("Location", "/");
  response.headers.emplace_back(
      "Set-Cookie", fmt::format("{}={}; Path=/; Max-Age={}; HttpOnly; Secure; SameSite=Strict", cookie_name,
                                (*joined)->token, People::session_lasts / 1000));
  return response;
}

Response Pairing::answer(const Request& request) {
  if (request.method == "GET" || request.method == "HEAD") {
    const auto code = request.query.find("code");
    return page(request, 200, usual_words, code == request.query.end() ? std::string_view{} : code->second);
  }
  if (request.method != "POST") return page(request, 405, usual_words);
  const auto fields = form_fields(request.body);
  const auto typed = fields.find("code");
  const std::lock_guard lock(mutex_);
  if (too_many_attempts())
    return page(request, 429, "Too many wrong codes were typed. Wait ten minutes, then try again.");
  return let_in(request, typed == fields.end() ? std::string{} : typed->second);
}

Response Pairing::turn_away(const Request& request) const {
  const bool page_asked =
      request.method == "GET" && request.header("accept").find("text/html") != std::string::npos;
  if (!page_asked)
    return problem_response(
        {{}, "a device that has not joined", "a device that was let in: a code, typed at /pair", ""}, 401);
  Response response = page(request, 303, usual_words);
  response.headers.emplace_back("Location", "/pair");
  return response;
}

}  // namespace strandbook
