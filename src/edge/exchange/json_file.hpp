#pragma once
// A JSON file as a tree.

#include <string>

#include "edge/exchange/json_node.hpp"

namespace strandbook {

/// The file must be readable and well-formed; a Problem names it, and the line where it has one.
Result<JsonNode> read_json_file(const std::string& path);

}  // namespace strandbook
