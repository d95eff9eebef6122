#pragma once
// Serves a site over HTTP/1.1, with TLS where a certificate is given. The only file that knows the network.

#include <functional>
#include <memory>
#include <string>

#include "domain/problem/problem.hpp"
#include "front/service/http.hpp"

namespace strandbook {

struct ServerOptions {
  std::string address = "127.0.0.1";
  std::uint16_t port = 8270;     ///< 0: any free one
  std::string certificate_file;  ///< PEM; empty: no TLS
  std::string key_file;
};

class HttpServer {
 public:
  /// Binds at once; the site must outlive it.
  static Result<std::unique_ptr<HttpServer>> listen(const ServerOptions& options, Site& site);
  HttpServer(const HttpServer&) = delete;
  HttpServer& operator=(const HttpServer&) = delete;
  ~HttpServer();

  std::uint16_t port() const;
  /// Serves until SIGINT or SIGTERM. What was begun is finished and answered before it returns; then
  /// `stopping` has been called once, early, to end long work.
  void run(const std::function<void()>& stopping);

 private:
  struct Inside;
  explicit HttpServer(std::unique_ptr<Inside> inside);
  std::unique_ptr<Inside> inside_;
};

}  // namespace strandbook
