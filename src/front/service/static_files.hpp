#pragma once
// The web application's files: only what lies in its folder, never a listing.

#include <string>

#include "front/service/http.hpp"

namespace strandbook {

/// STRANDBOOK_WEB, else web/dist beside or above the program, else share/strandbook/web; empty where none is.
std::string find_web_folder();

/// "/" is index.html. 404 for what is not there, lies outside by dots or links, or is no plain file.
Response static_file(const std::string& folder, const Request& request);

}  // namespace strandbook
