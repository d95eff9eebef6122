#include "front/service/sharing.hpp"

#include <fmt/format.h>
#include <openssl/crypto.h>
#include <openssl/rand.h>

#include <algorithm>
#include <cstdlib>

#include "front/service/http_text.hpp"
#include "front/service/json_out.hpp"
#include "front/service/spoken.hpp"

namespace strandbook {
namespace {

constexpr std::string_view cookie_name = "strandbook";
constexpr std::size_t most_failures = 5;
constexpr auto failures_count_for = std::chrono::minutes(10);
// Without letters and digits that look alike on a terminal.
constexpr std::string_view code_signs = "ABCDEFGHJKMNPQRSTUVWXYZ23456789";
constexpr std::size_t code_length = 8;

std::string random_text(std::string_view signs, std::size_t length) {
  std::string text;
  while (text.size() < length) {
    unsigned char byte = 0;
    if (RAND_bytes(&byte, 1) != 1) std::abort();  // without randomness nobody may come in
    const std::size_t fair = 256 - 256 % signs.size();
    if (byte < fair) text += signs[byte % signs.size()];
  }
  return text;
}

bool same(const std::string& a, const std::string& b) {
  return a.size() == b.size() && CRYPTO_memcmp(a.data(), b.data(), a.size()) == 0;
}

/// As it may be typed: small letters, blanks and dashes.
std::string tidy_code(const std::string& typed) {
  std::string code;
  for (const char c : typed)
    if (c != ' ' && c != '-') code += static_cast<char>(c >= 'a' && c <= 'z' ? c - ('a' - 'A') : c);
  return code;
}

Response page(const Request& request, int status, std::string_view words) {
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
                  "<form method=\"post\" action=\"/pair\"><label>Code <input name=\"code\" "
                  "autocomplete=\"off\" autofocus required></label> <button>{}</button></form></html>",
                  german ? "de" : "en", say("Join this book"), say(words), say("Join")));
  response.headers.emplace_back("Vary", "Accept-Language");
  return response;
}

constexpr std::string_view usual_words =
    "Type the code that stands on the screen of the computer that shares it.";

}  // namespace

Pairing::Pairing(Show show, Clock clock) : show_(std::move(show)), clock_(std::move(clock)) { next_code(); }

void Pairing::next_code() {
  code_ = random_text(code_signs, code_length);
  show_(code_.substr(0, code_length / 2) + "-" + code_.substr(code_length / 2));
}

bool Pairing::knows(const Request& request) {
  const std::string token = cookie_of(request, cookie_name);
  const std::lock_guard lock(mutex_);
  return std::any_of(tokens_.begin(), tokens_.end(),
                     [&](const std::string& each) { return same(each, token); });
}

bool Pairing::too_many_attempts() {
  const auto now = clock_();
  std::erase_if(failures_, [&](const auto& at) { return now - at > failures_count_for; });
  return failures_.size() >= most_failures;
}

Response Pairing::answer(const Request& request) {
  if (request.method == "GET" || request.method == "HEAD") return page(request, 200, usual_words);
  if (request.method != "POST") return page(request, 405, usual_words);
  const auto fields = form_fields(request.body);
  const auto typed = fields.find("code");
  const std::lock_guard lock(mutex_);
  if (too_many_attempts())
    return page(request, 429, "Too many wrong codes were typed. Wait ten minutes, then try again.");
  if (typed == fields.end() || !same(tidy_code(typed->second), code_)) {
    failures_.push_back(clock_());
    return page(request, 403, "That is not the code. Each code works once; the next one is shown then.");
  }
  const std::string token = random_text("0123456789abcdef", 64);
  tokens_.insert(token);
  next_code();
  Response response = page(request, 303, "");
  response.headers.emplace_back("Location", "/");
  response.headers.emplace_back(
      "Set-Cookie",
      fmt::format("{}={}; Path=/; Max-Age=86400; HttpOnly; Secure; SameSite=Strict", cookie_name, token));
  return response;
}

Response Pairing::turn_away(const Request& request) const {
  const bool page_asked =
      request.method == "GET" && request.header("accept").find("text/html") != std::string::npos;
  if (!page_asked)
    return problem_response({{}, "a device that has not joined", "the code, typed at /pair", ""}, 401);
  Response response = page(request, 303, usual_words);
  response.headers.emplace_back("Location", "/pair");
  return response;
}

}  // namespace strandbook
