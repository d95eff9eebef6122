#include "workflow/instruments.hpp"

#include <gtest/gtest.h>

namespace strandbook {
namespace {

TEST(Instruments, WhatIsLeftOutTakesTheUsualCommands) {
  const auto list =
      instruments_from(R"([{"name":"bench","address":"tcp://127.0.0.1:5025","unit":"W"}])", "f");
  ASSERT_TRUE(list);
  EXPECT_EQ(list->front().commands.power, "READ:POW?");
  EXPECT_EQ(list->front().unit, PowerUnit::watt);
}

TEST(Instruments, WrongOnesAreRefusedWithTheirPlace) {
  for (const char* text : {"{}", "[7]", R"([{"address":"tcp://h:1"}])", R"([{"name":"a","address":"h"}])",
                           R"([{"name":"a","address":"tcp://h:1","unit":"mW"}])",
                           R"([{"name":"a","address":"tcp://h:1","x":1}])",
                           R"([{"name":"a","address":"tcp://h:1","commands":{"power":"READ\n*RST"}}])",
                           R"([{"name":"a","address":"tcp://h:1"},{"name":"a","address":"tcp://h:2"}])"}) {
    const auto list = instruments_from(text, "meters.json");
    ASSERT_FALSE(list) << text;
    EXPECT_EQ(list.problem().at.file, "meters.json") << text;
  }
}

}  // namespace
}  // namespace strandbook
