#include "front/service/guard.hpp"

#include <algorithm>

namespace strandbook {
namespace {

/// "[::1]:8270" → "::1", "localhost:8270" → "localhost".
std::string_view host_name(std::string_view host) {
  if (host.starts_with('[')) return host.substr(1, std::min(host.find(']'), host.size()) - 1);
  return host.substr(0, host.find(':'));
}

bool host_is_ours(const Request& request, Reach reach) {
  const std::string_view name = host_name(request.header("host"));
  if (name == "localhost" || name == "127.0.0.1" || name == "::1") return true;
  return reach == Reach::network && !name.empty() && name == request.local_address;
}

bool origin_is_ours(const Request& request) {
  const std::string_view origin = request.header("origin");
  if (origin.empty()) return true;
  const std::size_t scheme = origin.find("://");
  return scheme != std::string_view::npos && origin.substr(scheme + 3) == request.header("host");
}

}  // namespace

std::optional<std::string> why_refused(const Request& request, Reach reach) {
  if (!host_is_ours(request, reach))
    return "a request for another host, \"" + std::string(request.header("host")) + "\"";
  if (request.method == "GET" || request.method == "HEAD") return std::nullopt;
  if (!origin_is_ours(request))
    return "a request from another site's page, " + std::string(request.header("origin"));
  const std::string_view site = request.header("sec-fetch-site");
  if (!site.empty() && site != "same-origin" && site != "none")
    return std::string("a request from another site's page");
  return std::nullopt;
}

void add_safe_headers(Response& response) {
  response.headers.emplace_back(
      "Content-Security-Policy",
      "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; font-src 'self'; "
      "connect-src 'self'; manifest-src 'self'; worker-src 'self'; base-uri 'none'; form-action 'self'; "
      "frame-ancestors 'none'");
  response.headers.emplace_back("X-Content-Type-Options", "nosniff");
  response.headers.emplace_back("Cross-Origin-Resource-Policy", "same-origin");
  response.headers.emplace_back("Cross-Origin-Opener-Policy", "same-origin");
  for (const auto& [name, value] :
       {std::pair{"Cache-Control", "no-store"}, {"Referrer-Policy", "no-referrer"}}) {
    const bool stated = std::any_of(response.headers.begin(), response.headers.end(),
                                    [name = name](const auto& header) { return header.first == name; });
    if (!stated) response.headers.emplace_back(name, value);
  }
}

}  // namespace strandbook
