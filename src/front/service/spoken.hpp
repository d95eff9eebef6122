#pragma once
// The language of a response: English within the program, the person's own at its boundary.

#include "front/service/http.hpp"

namespace strandbook {

/// Whether Accept-Language names German first.
bool wants_german(const Request& request);

/// Puts a response into the language of the request. Files that are saved, and streams, stay as they are.
void speak(const Request& request, Response& response);

}  // namespace strandbook
