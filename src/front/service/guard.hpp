#pragma once
// Which requests are answered at all: against rebound names, foreign pages and framing.

#include <optional>
#include <string>

#include "front/service/http.hpp"

namespace strandbook {

enum class Reach { this_computer, network };

/// A sentence that says why a request is refused; nothing where it is in order. Names other than loopback
/// ones, or the address reached, could be any site's name pointed at this computer. What changes something
/// must come from our own pages.
std::optional<std::string> why_refused(const Request& request, Reach reach);

/// What every response carries: nothing inline, nothing from elsewhere, no guessing of types.
void add_safe_headers(Response& response);

}  // namespace strandbook
