#pragma once
// JSON as a tree that remembers the line of each value, so that what is wrong with it can be shown in place.

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "domain/problem/problem.hpp"

namespace strandbook {

enum class JsonKind { null, boolean, number, text, list, object };

struct JsonNode {
  JsonKind kind = JsonKind::null;
  std::size_t line = 0;           ///< 1-based line on which the value begins
  std::string key{};              ///< name of this member where it stands in an object
  double number = 0;              ///< where kind is number; always finite
  std::string text{};             ///< where kind is text; "true" or "false" where kind is boolean
  std::vector<JsonNode> items{};  ///< elements of a list, members of an object in the order of the file
};

/// RFC 8259 text, UTF-8, at most 32 levels deep. A Problem's place holds `name` and the line.
Result<JsonNode> parse_json(std::string_view text, const std::string& name);

/// Words for a technician: "the number 3.5", "the text \"OM4\"", "a list".
std::string words_of(const JsonNode& node);

}  // namespace strandbook
