#pragma once
// The language of a response: English within the program, the person's own at its boundary.

#include <string>
#include <string_view>

#include "edge/texts/catalogue.hpp"
#include "front/service/http.hpp"

namespace strandbook {

/// Whether Accept-Language names German first.
bool wants_german(const Request& request);

/// A JSON document with the texts of those members translated that hold sentences for a person
/// (docs/openapi.json); names, codes and words that screens switch on stay.
std::string spoken_json(std::string_view json, const Catalogue& catalogue);

/// Puts a response into the language of the request. Files that are saved, and streams, stay as they are.
void speak(const Request& request, Response& response);

}  // namespace strandbook
