// The schema of application files against the loader.

#include <gtest/gtest.h>

#include <fstream>
#include <nlohmann/json.hpp>
#include <valijson/adapters/nlohmann_json_adapter.hpp>
#include <valijson/schema.hpp>
#include <valijson/schema_parser.hpp>
#include <valijson/validator.hpp>

#include "edge/exchange/application_file.hpp"

namespace strandbook {
namespace {

const std::string root = STRANDBOOK_ROOT;

nlohmann::json json_of(const std::string& path) {
  std::ifstream file(path);
  EXPECT_TRUE(file.is_open()) << path;
  return nlohmann::json::parse(file, nullptr, false);
}

bool fits_schema(const nlohmann::json& document) {
  static const nlohmann::json text = json_of(root + "/rules/application-file.schema.json");
  valijson::Schema schema;
  valijson::SchemaParser parser(valijson::SchemaParser::kDraft7);
  parser.populateSchema(valijson::adapters::NlohmannJsonAdapter(text), schema);
  valijson::Validator validator;
  return validator.validate(schema, valijson::adapters::NlohmannJsonAdapter(document), nullptr);
}

TEST(ApplicationSchema, EveryShippedFileFits) {
  for (const char* name :
       {"ieee-802.3", "incits-fibre-channel", "itu-t-g.957", "itu-t-pon", "legacy", "msa", "tia-568"})
    EXPECT_TRUE(fits_schema(json_of(root + "/rules/applications/" + name + ".json"))) << name;
}

TEST(ApplicationSchema, RefusesWhatTheLoaderRefuses) {
  const nlohmann::json good = json_of(root + "/rules/applications/itu-t-g.957.json");
  const std::pair<const char*, nlohmann::json> changes[] = {
      {"/colour", "aqua"},
      {"/family", "radio"},
      {"/applications", nlohmann::json::array()},
      {"/applications/0/colour", "aqua"},
      {"/applications/0/categories/0", "OS3"},
      {"/applications/0/standing", "sure"},
      {"/applications/0/lanes", 1.5},
      {"/applications/0/use", "both"},
      {"/applications/0/max_loss/unit", "dBm"},
      {"/applications/0/max_loss/value", 61},
      {"/applications/0/max_loss/standing", "own"},
      {"/applications/0/window/launch_min/value", -61},
      {"/applications/0/window/colour", "aqua"},
  };
  EXPECT_TRUE(fits_schema(good));
  EXPECT_TRUE(read_application_text(good.dump(), "good.json"));
  for (const auto& [where, value] : changes) {
    nlohmann::json changed = good;
    changed[nlohmann::json::json_pointer(where)] = value;
    EXPECT_FALSE(fits_schema(changed)) << where;
    EXPECT_FALSE(read_application_text(changed.dump(), "changed.json")) << where;
  }
}

}  // namespace
}  // namespace strandbook
