#pragma once
// A JSON tree as text again: for a part of a file that has to stand on its own.

#include <string>

#include "edge/exchange/json_node.hpp"

namespace strandbook {

/// One member or element a line, indented by two blanks for each level; objects whose members are all plain
/// stand on one line. What parse_json reads from it is the same tree but for the lines.
std::string json_text_of(const JsonNode& node);

}  // namespace strandbook
