#include "front/service/api.hpp"

#include <gtest/gtest.h>

#include <set>

namespace strandbook {
namespace {

const JsonNode* member(const JsonNode& object, std::string_view key) {
  for (const JsonNode& each : object.items)
    if (each.key == key) return &each;
  return nullptr;
}

TEST(Api, WhatIsDocumentedIsAnsweredAndNothingElse) {
  const Result<JsonNode> document = parse_json(openapi_document, "openapi.json");
  ASSERT_TRUE(document);
  std::set<std::string> documented;
  for (const JsonNode& path : member(*document, "paths")->items)
    for (const JsonNode& operation : path.items)
      if (operation.key != "parameters") documented.insert(operation.key + " " + path.key);
  std::set<std::string> answered;
  for (const Route& route : api_routes()) {
    std::string method = route.method;
    for (char& c : method) c = static_cast<char>(c + ('a' - 'A'));
    answered.insert(method + " " + route.pattern);
  }
  EXPECT_EQ(answered, documented);
}

TEST(Api, LiteralPathsGoBeforeBraces) {
  Request request;
  request.method = "POST";
  request.segments = {"api", "v1", "rules", "check"};
  EXPECT_EQ(match_route(request).route->handler, &post_rule_check);
  request.method = "GET";
  request.segments = {"api", "v1", "jobs", "a/b", "imports", "7"};
  EXPECT_EQ(match_route(request).captures, (Captures{"a/b", "7"}));
  request.segments = {"api", "v1", "jobs", ""};
  EXPECT_EQ(match_route(request).route, nullptr);
  request.method = "PATCH";
  request.segments = {"api", "v1", "about"};
  EXPECT_TRUE(match_route(request).path_known);
}

}  // namespace
}  // namespace strandbook
