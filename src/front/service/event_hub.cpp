#include "front/service/event_hub.hpp"

#include <algorithm>
#include <utility>

namespace strandbook {

EventText event_text(const std::string& name, const std::string& data) {
  return std::make_shared<const std::string>("event: " + name + "\ndata: " + data + "\n\n");
}

void EventQueue::put(const EventText& event) {
  const std::lock_guard lock(mutex_);
  if (waiting_.size() >= most_waiting) {
    waiting_.clear();
    waiting_.push_back(overflow_);
  }
  waiting_.push_back(event);
  if (wake_) wake_();
}

std::vector<EventText> EventQueue::take() {
  const std::lock_guard lock(mutex_);
  return std::exchange(waiting_, {});
}

void EventQueue::on_put(std::function<void()> wake) {
  const std::lock_guard lock(mutex_);
  wake_ = std::move(wake);
}

void EventQueue::set_overflow(const EventText& event) {
  const std::lock_guard lock(mutex_);
  overflow_ = event;
}

std::shared_ptr<EventQueue> EventHub::listen(const EventText& overflow) {
  auto queue = std::make_shared<EventQueue>();
  queue->set_overflow(overflow);
  const std::lock_guard lock(mutex_);
  queues_.push_back(queue);
  return queue;
}

void EventHub::publish(const EventText& event) {
  const std::lock_guard lock(mutex_);
  std::erase_if(queues_, [](const auto& queue) { return queue.expired(); });
  for (const auto& weak : queues_)
    if (const auto queue = weak.lock()) queue->put(event);
}

}  // namespace strandbook
