#include "front/service/spoken.hpp"

#include <algorithm>
#include <cctype>

#include "workflow/spoken_json.hpp"

namespace strandbook {
namespace {

/// A file to be saved, or the document that describes the interface.
bool stays_as_it_is(const Request& request, const Response& response) {
  if (response.events != nullptr || request.path.ends_with("/openapi.json")) return true;
  return std::any_of(response.headers.begin(), response.headers.end(),
                     [](const auto& header) { return header.first == "Content-Disposition"; });
}

}  // namespace

bool wants_german(const Request& request) {
  const std::string_view wish = request.header("accept-language");
  if (wish.size() < 2) return false;
  const auto lower = [&](std::size_t i) { return std::tolower(static_cast<unsigned char>(wish[i])); };
  return lower(0) == 'd' && lower(1) == 'e' &&
         (wish.size() == 2 || std::isalpha(static_cast<unsigned char>(wish[2])) == 0);
}

void speak(const Request& request, Response& response) {
  if (stays_as_it_is(request, response)) return;
  const bool json = response.type == "application/json";
  const bool plain = response.type.starts_with("text/plain") && response.status >= 400;
  if (!json && !plain) return;
  response.headers.emplace_back("Vary", "Accept-Language");
  if (!wants_german(request)) return;
  const std::string& body = *response.body;
  const Catalogue& german = german_catalogue();
  response.body =
      std::make_shared<const std::string>(json ? spoken_json(body, german) : german.translated(body));
}

}  // namespace strandbook
