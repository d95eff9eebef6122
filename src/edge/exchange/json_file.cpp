#include "edge/exchange/json_file.hpp"

#include "edge/exchange/file_bytes.hpp"

namespace strandbook {

Result<JsonNode> read_json_file(const std::string& path) {
  const Result<std::string> bytes = read_file_bytes(path);
  if (!bytes) return bytes.problem();
  return parse_json(*bytes, path);
}

}  // namespace strandbook
