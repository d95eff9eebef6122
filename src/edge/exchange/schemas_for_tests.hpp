#pragma once
// For tests of the schemas in rules/: does a document fit?

#include <gtest/gtest.h>

#include <fstream>
#include <nlohmann/json.hpp>
#include <string>
#include <valijson/adapters/nlohmann_json_adapter.hpp>
#include <valijson/schema.hpp>
#include <valijson/schema_parser.hpp>
#include <valijson/validator.hpp>

namespace strandbook {

inline nlohmann::json json_of(const std::string& path) {
  std::ifstream file(path);
  EXPECT_TRUE(file.is_open()) << path;
  return nlohmann::json::parse(file, nullptr, false);
}

/// `schema` is the name of a file in rules/; a schema that it refers to stands beside it.
inline bool fits_schema(const nlohmann::json& document, const std::string& schema) {
  const std::string folder = STRANDBOOK_ROOT "/rules/";
  const auto fetch = [&](const std::string& name) -> const nlohmann::json* {
    return new nlohmann::json(json_of(folder + name));
  };
  const auto release = [](const nlohmann::json* other) { delete other; };
  const nlohmann::json text = json_of(folder + schema);
  valijson::Schema parsed;
  valijson::SchemaParser parser(valijson::SchemaParser::kDraft7);
  parser.populateSchema<valijson::adapters::NlohmannJsonAdapter>(
      valijson::adapters::NlohmannJsonAdapter(text), parsed, fetch, release);
  valijson::Validator validator;
  return validator.validate(parsed, valijson::adapters::NlohmannJsonAdapter(document), nullptr);
}

}  // namespace strandbook
