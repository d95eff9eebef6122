#pragma once
// A request and its response as plain values, and what a site must offer to be served.

#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "front/service/event_hub.hpp"
#include "front/service/role.hpp"

namespace strandbook {

struct Request {
  std::string method;
  std::string path;                            ///< as sent, without the query
  std::vector<std::string> segments;           ///< of the path, percent-decoded one by one
  std::map<std::string, std::string> query;    ///< decoded; the last of equal names
  std::map<std::string, std::string> headers;  ///< names in lower case
  std::string body;
  std::string local_address;  ///< at which the client reached us, such as "127.0.0.1"
  std::string remote_address;
  bool from_this_computer = true;
  Caller caller;  ///< whom the site found to have sent it

  std::string_view header(const std::string& name) const;
};

struct Response {
  int status = 200;
  std::string type = "application/json";  ///< empty: no Content-Type
  std::shared_ptr<const std::string> body = std::make_shared<const std::string>();
  std::vector<std::pair<std::string, std::string>> headers = {};
  std::shared_ptr<EventQueue> events = nullptr;  ///< set: what follows is a stream of events
  std::function<bool()> may_go_on = {};          ///< asked before each of them; empty: always
};

/// Where a request is worked on, so that what waits for a disk never keeps back what does not.
enum class Lane { here, read, write, instrument };

class Site {
 public:
  Site() = default;
  Site(const Site&) = delete;
  Site& operator=(const Site&) = delete;
  virtual ~Site() = default;
  virtual Lane lane_of(const Request& request) const = 0;
  /// Largest body in bytes; what is larger is refused before it is read.
  virtual std::uint64_t body_limit(const Request& request) const = 0;
  /// Called from several threads at once; notes in the request who sent it.
  virtual Response handle(Request& request) = 0;
  /// A refusal that the server itself words: 400, 408, 413, 431.
  virtual Response refusal(int status, std::string_view words) const = 0;
};

}  // namespace strandbook
