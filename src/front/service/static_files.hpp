#pragma once
// The web application's files: only what lies in its folder, never a listing.

#include <string>

#include "front/service/http.hpp"

namespace strandbook {

/// "/" is index.html. 404 for what is not there, lies outside by dots or links, or is no plain file.
Response static_file(const std::string& folder, const Request& request);

}  // namespace strandbook
