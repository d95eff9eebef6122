#pragma once
// The sentences of a JSON document in another language.

#include <string>
#include <string_view>

#include "edge/texts/catalogue.hpp"

namespace strandbook {

/// A JSON document with the texts of those members translated that hold sentences for a person
/// (docs/openapi.json); names, codes and words that screens switch on stay.
std::string spoken_json(std::string_view json, const Catalogue& catalogue);

}  // namespace strandbook
