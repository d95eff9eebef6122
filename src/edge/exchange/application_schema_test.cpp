// The schema of application files against the loader.

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "edge/exchange/application_file.hpp"
#include "edge/exchange/schemas_for_tests.hpp"

namespace strandbook {
namespace {

bool fits_application_schema(const nlohmann::json& document) {
  return fits_schema(document, "application-file.schema.json");
}

TEST(ApplicationSchema, EveryShippedFileFits) {
  for (const char* name :
       {"ieee-802.3", "incits-fibre-channel", "itu-t-g.957", "itu-t-pon", "legacy", "msa", "tia-568"})
    EXPECT_TRUE(fits_application_schema(
        json_of(STRANDBOOK_ROOT "/rules/applications/" + std::string(name) + ".json")))
        << name;
}

TEST(ApplicationSchema, RefusesWhatTheLoaderRefuses) {
  const nlohmann::json good = json_of(STRANDBOOK_ROOT "/rules/applications/itu-t-g.957.json");
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
  EXPECT_TRUE(fits_application_schema(good));
  EXPECT_TRUE(read_application_text(good.dump(), "good.json"));
  for (const auto& [where, value] : changes) {
    nlohmann::json changed = good;
    changed[nlohmann::json::json_pointer(where)] = value;
    EXPECT_FALSE(fits_application_schema(changed)) << where;
    EXPECT_FALSE(read_application_text(changed.dump(), "changed.json")) << where;
  }
}

}  // namespace
}  // namespace strandbook
