#include "edge/exchange/json_node_text.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "edge/exchange/text_out.hpp"

namespace strandbook {
namespace {

bool nested(const JsonNode& node) { return node.kind == JsonKind::list || node.kind == JsonKind::object; }

void append(std::string& out, const JsonNode& node, std::size_t level);

void append_items(std::string& out, const JsonNode& node, std::size_t level) {
  const bool broken = std::any_of(node.items.begin(), node.items.end(), nested);
  const auto new_line = [&](std::size_t depth) { out += '\n' + std::string(2 * depth, ' '); };
  bool first = true;
  for (const JsonNode& item : node.items) {
    if (!first) out += broken ? "," : ", ";
    first = false;
    if (broken) new_line(level + 1);
    if (node.kind == JsonKind::object) {
      append_json_text(out, item.key);
      out += ": ";
    }
    append(out, item, level + 1);
  }
  if (broken) new_line(level);
}

void append(std::string& out, const JsonNode& node, std::size_t level) {
  switch (node.kind) {
    case JsonKind::null:
      out += "null";
      return;
    case JsonKind::boolean:
      out += node.text;
      return;
    case JsonKind::number:
      out += fmt::format("{}", node.number);
      return;
    case JsonKind::text:
      append_json_text(out, node.text);
      return;
    case JsonKind::list:
      out += '[';
      append_items(out, node, level);
      out += ']';
      return;
    case JsonKind::object:
      out += '{';
      append_items(out, node, level);
      out += '}';
      return;
  }
}

}  // namespace

std::string json_text_of(const JsonNode& node) {
  std::string out;
  append(out, node, 0);
  return out;
}

}  // namespace strandbook
