#pragma once
// Small matters of HTTP text: targets, percent signs, compression, validators.

#include <optional>
#include <string>
#include <string_view>

#include "front/service/http.hpp"

namespace strandbook {

/// Bytes that are no UTF-8 become U+FFFD: what a request says goes back to it in words.
std::string with_valid_utf8(std::string text);

/// Sets path, segments and query from "/a/b%20c?d=e". A target that cannot be decoded has no segments.
/// All of it is valid UTF-8.
void take_target(Request& request, std::string_view target);
/// "%20" and, in forms, "+"; nothing where a percent sign is not followed by two digits.
std::optional<std::string> percent_decoded(std::string_view text);
/// The fields of a form or query, decoded.
std::map<std::string, std::string> form_fields(std::string_view text);
/// The value of a cookie of the request; empty where there is none.
std::string cookie_of(const Request& request, std::string_view name);
/// Compresses a large JSON or text body where the client accepts it.
void compress(const Request& request, Response& response);
bool accepts_gzip(const Request& request);

}  // namespace strandbook
