#include "edge/exchange/json_node.hpp"

#include <gtest/gtest.h>

#include <string>

namespace strandbook {
namespace {

const JsonNode& member(const JsonNode& node, std::string_view key) {
  for (const JsonNode& item : node.items)
    if (item.key == key) return item;
  ADD_FAILURE() << "no member " << key;
  return node;
}

TEST(JsonNode, RemembersTheLineOnWhichEachValueBegins) {
  const auto tree = parse_json(
      "{\n"
      "  \"number\": 3.5\n"
      "  ,\"text\":\n"
      "     \"OM4\", \"list\": [\n"
      "    1,\n"
      "    {\"in\": true}\n"
      "  ],\r\n"
      "  \"last\": null\n"
      "}\n\n",
      "f.json");
  ASSERT_TRUE(tree) << describe(tree.problem());
  EXPECT_EQ(tree->line, 1U);
  EXPECT_EQ(member(*tree, "number").line, 2U);
  EXPECT_EQ(member(*tree, "number").number, 3.5);
  EXPECT_EQ(member(*tree, "text").line, 4U);
  EXPECT_EQ(member(*tree, "text").text, "OM4");
  const JsonNode& list = member(*tree, "list");
  EXPECT_EQ(list.line, 4U);
  ASSERT_EQ(list.items.size(), 2U);
  EXPECT_EQ(list.items[0].line, 5U);
  EXPECT_EQ(list.items[1].line, 6U);
  EXPECT_EQ(member(list.items[1], "in").text, "true");
  EXPECT_EQ(member(*tree, "last").line, 8U);
  EXPECT_EQ(member(*tree, "last").kind, JsonKind::null);
}

TEST(JsonNode, KeepsBothOfTwoMembersOfOneName) {
  const auto tree = parse_json("{\"a\": 1, \"a\": 2}", "f.json");
  ASSERT_TRUE(tree);
  EXPECT_EQ(tree->items.size(), 2U);
}

TEST(JsonNode, ReadsABareValueAndAByteOrderMark) {
  EXPECT_EQ(parse_json("-1.5e1", "f")->number, -15);
  EXPECT_EQ(parse_json("\xEF\xBB\xBF{}", "f")->kind, JsonKind::object);
  EXPECT_EQ(parse_json("18446744073709551615", "f")->kind, JsonKind::number);
}

TEST(JsonNode, SaysWhereTheTextIsNotJson) {
  struct Case {
    std::string text;
    std::size_t line;
  };
  const Case cases[] = {{"", 1},
                        {"{\n\"a\": 1,\n}", 3},
                        {"{\n\"a\" 1}", 2},
                        {"[1,\n2\n", 2},
                        {"{\"a\": 1}\n\nmore", 3},
                        {"{\"a\":\n1e999}", 2},
                        {"[\n\n\"\xff\"]", 3},
                        {"{\"a\":\n'b'}", 2},
                        {"[NaN]", 1}};
  for (const Case& each : cases) {
    const auto tree = parse_json(each.text, "f.json");
    ASSERT_FALSE(tree) << each.text;
    EXPECT_EQ(tree.problem().at.file, "f.json");
    EXPECT_EQ(tree.problem().at.row, each.line) << each.text << describe(tree.problem());
    EXPECT_FALSE(tree.problem().wanted.empty());
  }
}

// A file of brackets must not exhaust the stack.
TEST(JsonNode, RefusesBracketsWithoutEnd) {
  const auto tree = parse_json(std::string(2'000'000, '['), "f.json");
  ASSERT_FALSE(tree);
  EXPECT_NE(describe(tree.problem()).find("more than 32 brackets"), std::string::npos);
  EXPECT_TRUE(parse_json(std::string(32, '[') + std::string(32, ']'), "f"));
  EXPECT_FALSE(parse_json(std::string(33, '[') + std::string(33, ']'), "f"));
}

}  // namespace
}  // namespace strandbook
