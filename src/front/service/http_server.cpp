#include "front/service/http_server.hpp"

#include <boost/asio.hpp>
#include <boost/asio/ssl.hpp>
#include <boost/beast/core.hpp>
#include <boost/beast/http.hpp>
#include <boost/beast/ssl.hpp>
#include <list>
#include <thread>

#include "front/service/http_text.hpp"

namespace strandbook {
namespace {

namespace asio = boost::asio;
namespace beast = boost::beast;
namespace http = beast::http;
using asio::use_awaitable;
using asio::ip::tcp;
using Code = beast::error_code;
using TlsStream = beast::ssl_stream<beast::tcp_stream>;
using HeadParser = http::request_parser<http::empty_body>;
using BodyParser = http::request_parser<http::string_body>;

constexpr auto idle_time = std::chrono::seconds(75);
constexpr auto head_time = std::chrono::seconds(15);
constexpr auto body_time = std::chrono::seconds(30);
constexpr auto large_body_time = std::chrono::minutes(15);
constexpr auto send_time = std::chrono::seconds(60);
constexpr auto heartbeat = std::chrono::seconds(15);
constexpr auto farewell = std::chrono::seconds(10);
constexpr std::uint64_t large_body = 4U << 20;
constexpr std::uint32_t head_limit = 16 * 1024;
constexpr std::size_t most_connections = 2000;

/// co_await with the error as a value, since an exception per closed connection is dear and says nothing.
auto with(Code& error) { return asio::redirect_error(use_awaitable, error); }

/// What arrived is no HTTP, as against a connection that ended.
bool is_malformed(const Code& error) {
  return error && error.category() == make_error_code(http::error::bad_method).category() &&
         error != http::error::end_of_stream && error != http::error::partial_message;
}

Request request_of(const http::request_header<>& head, const tcp::socket& socket) {
  Request request;
  request.method = std::string(head.method_string());
  take_target(request, {head.target().data(), head.target().size()});
  for (const auto& field : head) {
    std::string name(field.name_string());
    for (char& c : name) c = static_cast<char>(c >= 'A' && c <= 'Z' ? c + ('a' - 'A') : c);
    request.headers[name] = std::string(field.value());
  }
  Code error;
  const auto local = socket.local_endpoint(error);
  if (!error) request.local_address = local.address().to_string();
  const auto remote = socket.remote_endpoint(error);
  if (!error) request.remote_address = remote.address().to_string();
  request.from_this_computer = !error && remote.address().is_loopback();
  return request;
}

}  // namespace

struct HttpServer::Inside {
  /// An open connection, to close it where it is idle when the program ends.
  struct Connection {
    bool busy = false;
    std::function<void()> close;
  };

  Inside(Site& served, bool with_tls) : site(served), tls(with_tls) {}

  Site& site;
  bool tls;
  asio::io_context io{2};
  asio::ssl::context context{asio::ssl::context::tls_server};
  asio::thread_pool readers{2};
  asio::thread_pool writers{2};
  asio::thread_pool instruments{1};  ///< a meter is asked one thing at a time
  tcp::acceptor acceptor{io};
  asio::signal_set signals{io, SIGINT, SIGTERM};
  std::mutex mutex;  ///< guards connections and their `busy`
  std::list<Connection> connections;
  std::atomic<bool> stopping{false};

  asio::awaitable<void> accept_all();
  asio::awaitable<void> serve(tcp::socket socket);
  template <class Stream>
  asio::awaitable<void> converse(Stream& stream, Connection& connection);
  template <class Stream>
  asio::awaitable<bool> answer_one(Stream& stream, beast::flat_buffer& buffer, Connection& connection);
  template <class Stream>
  asio::awaitable<bool> read_body(Stream& stream, beast::flat_buffer& buffer, HeadParser& head,
                                  Request& request);
  template <class Stream>
  asio::awaitable<bool> send(Stream& stream, const Request& request, const Response& response, bool last);
  template <class Stream>
  asio::awaitable<void> send_events(Stream& stream, const Response& response);
  asio::awaitable<Response> worked_out(Request& request);
  /// Runs where it is spawned.
  asio::awaitable<Response> handled_there(Request& request);
  asio::awaitable<void> stop(const std::function<void()>& told);
  Response handled(Request& request);
};

/// No exception of ours may end a connection without an answer.
Response HttpServer::Inside::handled(Request& request) {
  try {
    return site.handle(request);
  } catch (const std::exception& error) {
    return site.refusal(500, std::string("an error of the program's own: ") + error.what());
  }
}

asio::awaitable<Response> HttpServer::Inside::handled_there(Request& request) { co_return handled(request); }

asio::awaitable<Response> HttpServer::Inside::worked_out(Request& request) {
  const Lane lane = site.lane_of(request);
  if (lane == Lane::here) co_return handled(request);
  asio::thread_pool& pool = lane == Lane::read ? readers : lane == Lane::write ? writers : instruments;
  co_return co_await asio::co_spawn(pool, handled_there(request), use_awaitable);
}

/// False where the connection cannot go on.
template <class Stream>
asio::awaitable<bool> HttpServer::Inside::read_body(Stream& stream, beast::flat_buffer& buffer,
                                                    HeadParser& head, Request& request) {
  const std::uint64_t limit = site.body_limit(request);
  const auto length = head.content_length();
  if (length && *length > limit) {
    const Response refused = site.refusal(413, "a body of " + std::to_string(*length) + " bytes");
    co_await send(stream, request, refused, true);
    co_return false;
  }
  if (beast::iequals(head.get()[http::field::expect], "100-continue")) {
    http::response<http::empty_body> go_on(http::status::continue_, 11);
    Code error;
    co_await http::async_write(stream, go_on, with(error));
    if (error) co_return false;
  }
  BodyParser body(std::move(head));
  body.body_limit(limit);
  const bool large = length && *length > large_body;
  beast::get_lowest_layer(stream).expires_after(large ? std::chrono::seconds(large_body_time) : body_time);
  Code error;
  co_await http::async_read(stream, buffer, body, with(error));
  if (error == http::error::body_limit) {
    co_await send(stream, request, site.refusal(413, "more than " + std::to_string(limit) + " bytes"), true);
  } else if (error && error != beast::error::timeout && error != http::error::partial_message) {
    co_await send(stream, request, site.refusal(400, error.message()), true);
  }
  if (error) co_return false;
  request.body = std::move(body.get().body());
  co_return true;
}

template <class Stream>
asio::awaitable<bool> HttpServer::Inside::send(Stream& stream, const Request& request,
                                               const Response& response, bool last) {
  http::response<http::span_body<const char>> message(static_cast<http::status>(response.status), 11);
  message.set(http::field::server, "strandbook");
  if (!response.type.empty()) message.set(http::field::content_type, response.type);
  for (const auto& [name, value] : response.headers) message.set(name, value);
  message.keep_alive(!last);
  if (response.status != 204 && response.status != 304) message.content_length(response.body->size());
  if (request.method != "HEAD")
    message.body() = http::span_body<const char>::value_type(response.body->data(), response.body->size());
  beast::get_lowest_layer(stream).expires_after(send_time);
  Code error;
  co_await http::async_write(stream, message, with(error));
  co_return !error && !last;
}

template <class Stream>
asio::awaitable<void> HttpServer::Inside::send_events(Stream& stream, const Response& response) {
  http::response<http::empty_body> head(http::status::ok, 11);
  head.set(http::field::content_type, "text/event-stream");
  for (const auto& [name, value] : response.headers) head.set(name, value);
  head.keep_alive(false);
  http::response_serializer<http::empty_body> serializer(head);
  Code error;
  co_await http::async_write_header(stream, serializer, with(error));
  const auto executor = co_await asio::this_coro::executor;
  auto bell = std::make_shared<asio::steady_timer>(executor);
  response.events->on_put([bell, executor] { asio::post(executor, [bell] { bell->cancel(); }); });
  std::string text = ": strandbook\n\n";
  const auto may_go_on = [&response] { return !response.may_go_on || response.may_go_on(); };
  while (!error && !stopping && may_go_on()) {
    beast::get_lowest_layer(stream).expires_after(send_time);
    co_await asio::async_write(stream, asio::buffer(text), with(error));
    if (error) break;
    text.clear();
    for (const EventText& event : response.events->take()) text += *event;
    if (!text.empty()) continue;
    beast::get_lowest_layer(stream).expires_never();
    bell->expires_after(heartbeat);
    Code rung;
    co_await bell->async_wait(with(rung));
    for (const EventText& event : response.events->take()) text += *event;
    if (text.empty()) text = ": still here\n\n";
  }
  response.events->on_put({});
}

/// One request and its answer. False where the connection ends.
template <class Stream>
asio::awaitable<bool> HttpServer::Inside::answer_one(Stream& stream, beast::flat_buffer& buffer,
                                                     Connection& connection) {
  HeadParser head;
  head.header_limit(head_limit);
  head.body_limit(boost::none);  // held against the path's own limit once the path is known
  beast::get_lowest_layer(stream).expires_after(buffer.size() > 0 ? head_time : idle_time);
  Code error;
  co_await http::async_read_header(stream, buffer, head, with(error));
  Request request;
  if (is_malformed(error)) {
    const int status = error == http::error::header_limit ? 431 : 400;
    co_await send(stream, request, site.refusal(status, error.message()), true);
    co_return false;
  }
  if (error) co_return false;
  {
    const std::lock_guard lock(mutex);
    connection.busy = true;
  }
  request = request_of(head.get().base(), beast::get_lowest_layer(stream).socket());
  const bool last = !head.keep_alive();
  const bool whole = co_await read_body(stream, buffer, head, request);
  if (!whole) co_return false;
  beast::get_lowest_layer(stream).expires_never();
  const Response response = co_await worked_out(request);
  if (response.events) {
    {
      const std::lock_guard lock(mutex);
      connection.busy = false;
    }
    co_await send_events(stream, response);
    co_return false;
  }
  const bool open = co_await send(stream, request, response, last || stopping);
  const std::lock_guard lock(mutex);
  connection.busy = false;
  co_return open && !stopping;
}

template <class Stream>
asio::awaitable<void> HttpServer::Inside::converse(Stream& stream, Connection& connection) {
  beast::flat_buffer buffer;
  bool open = true;
  while (open) open = co_await answer_one(stream, buffer, connection);
}

asio::awaitable<void> HttpServer::Inside::serve(tcp::socket socket) {
  Code ignored;
  socket.set_option(tcp::no_delay(true), ignored);
  auto stream = std::make_shared<TlsStream>(beast::tcp_stream(std::move(socket)), context);
  beast::tcp_stream& plain = beast::get_lowest_layer(*stream);
  std::list<Connection>::iterator at;
  {
    const std::lock_guard lock(mutex);
    at = connections.insert(connections.end(), Connection{});
    at->close = [weak = std::weak_ptr(stream)] {
      if (const auto open = weak.lock())
        asio::post(open->get_executor(), [open] {
          Code gone;
          beast::get_lowest_layer(*open).socket().close(gone);
        });
    };
  }
  if (tls) {
    plain.expires_after(head_time);
    Code error;
    co_await stream->async_handshake(asio::ssl::stream_base::server, with(error));
    if (!error) co_await converse(*stream, *at);
  } else {
    co_await converse(plain, *at);
  }
  plain.socket().shutdown(tcp::socket::shutdown_both, ignored);
  const std::lock_guard lock(mutex);
  connections.erase(at);
}

asio::awaitable<void> HttpServer::Inside::accept_all() {
  while (!stopping) {
    Code error;
    tcp::socket socket(asio::make_strand(io));
    co_await acceptor.async_accept(socket, with(error));
    if (stopping) break;
    bool full = false;
    {
      const std::lock_guard lock(mutex);
      full = connections.size() >= most_connections;
    }
    if (error) {  // such as too many open files: a moment later it may go on
      asio::steady_timer pause(io, std::chrono::milliseconds(50));
      co_await pause.async_wait(with(error));
    } else if (!full) {
      const auto executor = socket.get_executor();
      asio::co_spawn(executor, serve(std::move(socket)), asio::detached);
    }
  }
}

/// Idle connections end at once, others when they have their answer.
asio::awaitable<void> HttpServer::Inside::stop(const std::function<void()>& told) {
  Code error;
  co_await signals.async_wait(with(error));
  stopping = true;
  acceptor.close(error);
  told();
  const auto end = std::chrono::steady_clock::now() + farewell;
  asio::steady_timer pause(io);
  while (std::chrono::steady_clock::now() < end) {
    {
      const std::lock_guard lock(mutex);
      if (connections.empty()) break;
      for (const Connection& each : connections)
        if (!each.busy) each.close();
    }
    pause.expires_after(std::chrono::milliseconds(20));
    co_await pause.async_wait(with(error));
  }
  readers.join();
  writers.join();
  instruments.join();
  io.stop();
}

HttpServer::HttpServer(std::unique_ptr<Inside> inside) : inside_(std::move(inside)) {}
HttpServer::~HttpServer() = default;

Result<std::unique_ptr<HttpServer>> HttpServer::listen(const ServerOptions& options, Site& site) {
  auto inside = std::make_unique<Inside>(site, !options.certificate_file.empty());
  const auto refused = [&](const Code& error) {
    return Problem{{options.address + ":" + std::to_string(options.port), {}, 0, {}},
                   error.message(),
                   "an address and port that are free",
                   "Choose another with --port."};
  };
  Code error;
  if (inside->tls) {
    inside->context.use_certificate_chain_file(options.certificate_file, error);
    if (!error) inside->context.use_private_key_file(options.key_file, asio::ssl::context::pem, error);
    if (error) return Problem{{options.certificate_file, {}, 0, {}}, error.message(), "a certificate", ""};
  }
  const auto address = asio::ip::make_address(options.address, error);
  if (error) return refused(error);
  const tcp::endpoint at(address, options.port);
  inside->acceptor.open(at.protocol(), error);
  inside->acceptor.set_option(asio::socket_base::reuse_address(true), error);
  inside->acceptor.bind(at, error);
  if (error) return refused(error);
  inside->acceptor.listen(asio::socket_base::max_listen_connections, error);
  if (error) return refused(error);
  return std::unique_ptr<HttpServer>(new HttpServer(std::move(inside)));
}

std::uint16_t HttpServer::port() const {
  Code error;
  return inside_->acceptor.local_endpoint(error).port();
}

void HttpServer::run(const std::function<void()>& stopping) {
  asio::co_spawn(inside_->io, inside_->accept_all(), asio::detached);
  asio::co_spawn(inside_->io, inside_->stop(stopping), asio::detached);
  std::thread second([this] { inside_->io.run(); });
  inside_->io.run();
  second.join();
}

}  // namespace strandbook
