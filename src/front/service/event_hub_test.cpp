#include "front/service/event_hub.hpp"

#include <gtest/gtest.h>

namespace strandbook {
namespace {

TEST(EventHub, EveryListenerHearsEverythingInOrder) {
  EventHub hub;
  const auto one = hub.listen(event_text("change", "lost"));
  const auto other = hub.listen(event_text("change", "lost"));
  int rung = 0;
  one->on_put([&rung] { ++rung; });
  hub.publish(event_text("change", "1"));
  hub.publish(event_text("change", "2"));
  EXPECT_EQ(rung, 2);
  for (const auto& queue : {one, other}) {
    const auto events = queue->take();
    ASSERT_EQ(events.size(), 2U);
    EXPECT_EQ(*events[0], "event: change\ndata: 1\n\n");
    EXPECT_TRUE(queue->take().empty());
  }
}

TEST(EventHub, AListenerThatDoesNotKeepUpIsToldSo) {
  EventHub hub;
  const auto slow = hub.listen(event_text("change", "lost"));
  for (int i = 0; i < 1000; ++i) hub.publish(event_text("change", std::to_string(i)));
  const auto events = slow->take();
  EXPECT_LE(events.size(), 201U);
  EXPECT_EQ(*events.front(), "event: change\ndata: lost\n\n");
  EXPECT_EQ(*events.back(), "event: change\ndata: 999\n\n");
}

TEST(EventHub, ListenersThatAreGoneAreForgotten) {
  EventHub hub;
  hub.listen(event_text("change", "lost")).reset();
  hub.publish(event_text("change", "1"));
}

}  // namespace
}  // namespace strandbook
