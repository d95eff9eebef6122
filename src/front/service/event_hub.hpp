#pragma once
// Events to any number of listeners. One that does not keep up loses what it missed and is told so.

#include <functional>
#include <memory>
#include <mutex>
#include <string>
#include <vector>

namespace strandbook {

/// One event as it goes over the wire; all listeners share it.
using EventText = std::shared_ptr<const std::string>;

/// "event: NAME\ndata: DATA\n\n"
EventText event_text(const std::string& name, const std::string& data);

/// What one listener has not been sent yet.
class EventQueue {
 public:
  void put(const EventText& event);
  /// All that waits, in order; empty where nothing does.
  std::vector<EventText> take();
  /// Called, from any thread, whenever something was put. An empty function ends it.
  void on_put(std::function<void()> wake);
  /// What the queue says in place of more than it can hold.
  void set_overflow(const EventText& event);

 private:
  static constexpr std::size_t most_waiting = 200;
  std::mutex mutex_;
  std::vector<EventText> waiting_;
  std::function<void()> wake_;
  EventText overflow_;
};

/// The listeners of one job. Those that are gone are forgotten by themselves.
class EventHub {
 public:
  std::shared_ptr<EventQueue> listen(const EventText& overflow);
  void publish(const EventText& event);

 private:
  std::mutex mutex_;
  std::vector<std::weak_ptr<EventQueue>> queues_;
};

}  // namespace strandbook
