#include "edge/instrument/meter_line.hpp"

#include <boost/asio.hpp>
#include <optional>
#include <variant>

namespace strandbook {
namespace {

namespace asio = boost::asio;
using asio::ip::tcp;
using Code = boost::system::error_code;

constexpr std::size_t longest_answer = 4096;

}  // namespace

struct MeterLine::Inside {
  explicit Inside(std::string named, std::chrono::milliseconds waits)
      : name(std::move(named)), patience(waits) {}

  std::string name;
  std::chrono::milliseconds patience;
  asio::io_context io;
  tcp::socket socket{io};
  asio::serial_port serial{io};
  std::string waiting;  ///< bytes that came after the last line end

  Problem problem(const std::string& found, const std::string& advice) const {
    return {{name, {}, 0, {}}, found, "an answer of the meter", advice};
  }
  Problem silent() const {
    return problem("no answer within " + std::to_string(patience.count()) + " ms",
                   "See that the meter is on, the cable is plugged in, and address and baud rate are right.");
  }
  Problem broken(const Code& error) const {
    if (error == asio::error::eof)
      return problem("the connection was closed", "See that the meter is on and no other program uses it.");
    return problem(error.message(), "See that the address is right and no other program uses the meter.");
  }

  /// Runs what was begun until it ends or the time is over. True where it ended.
  bool finished(const std::optional<Code>& result) {
    io.restart();
    io.run_for(patience);
    if (result) return true;
    Code ignored;
    socket.close(ignored);
    serial.close(ignored);
    io.restart();
    io.run_for(std::chrono::milliseconds(50));  // what was cancelled must be gone before its result is
    return false;
  }

  Result<Done> outcome(const std::optional<Code>& result, bool in_time) const {
    if (!in_time) return silent();
    if (*result) return broken(*result);
    return Done{};
  }

  Result<Done> connect(const MeterAddress& address) {
    Code error;
    tcp::resolver resolver(io);
    const auto found = resolver.resolve(address.host, address.port, error);
    if (error) return broken(error);
    std::optional<Code> result;
    asio::async_connect(socket, found, [&](const Code& code, const tcp::endpoint&) { result = code; });
    const bool in_time = finished(result);
    return outcome(result, in_time);
  }

  Result<Done> open_serial(const MeterAddress& address) {
    Code error;
    serial.open(address.device, error);
    if (error) return broken(error);
    serial.set_option(asio::serial_port_base::baud_rate(address.baud), error);
    if (!error) serial.set_option(asio::serial_port_base::character_size(8), error);
    if (!error)
      serial.set_option(asio::serial_port_base::flow_control(asio::serial_port_base::flow_control::none),
                        error);
    if (error) return broken(error);
    return Done{};
  }

  template <class Stream>
  Result<Done> send_to(Stream& stream, const std::string& line) {
    std::optional<Code> result;
    asio::async_write(stream, asio::buffer(line), [&](const Code& code, std::size_t) { result = code; });
    const bool in_time = finished(result);
    return outcome(result, in_time);
  }

  template <class Stream>
  Result<std::string> line_from(Stream& stream) {
    std::optional<Code> result;
    std::size_t length = 0;
    asio::async_read_until(stream, asio::dynamic_buffer(waiting, longest_answer), '\n',
                           [&](const Code& code, std::size_t bytes) {
                             result = code;
                             length = bytes;
                           });
    const bool in_time = finished(result);
    if (result && *result == asio::error::not_found)
      return problem("an endless answer", "Is it a meter that speaks SCPI?");
    const Result<Done> done = outcome(result, in_time);
    if (!done) return done.problem();
    std::string line = waiting.substr(0, length);
    waiting.erase(0, length);
    while (!line.empty() && (line.back() == '\n' || line.back() == '\r')) line.pop_back();
    return line;
  }
};

MeterLine::MeterLine(std::unique_ptr<Inside> inside) : inside_(std::move(inside)) {}
MeterLine::~MeterLine() = default;

Result<std::unique_ptr<MeterLine>> MeterLine::open(const MeterAddress& address, const std::string& name,
                                                   std::chrono::milliseconds patience) {
  auto inside = std::make_unique<Inside>(name, patience);
  const Result<Done> opened = address.host.empty() ? inside->open_serial(address) : inside->connect(address);
  if (!opened) return opened.problem();
  return std::unique_ptr<MeterLine>(new MeterLine(std::move(inside)));
}

Result<Done> MeterLine::send(const std::string& command) {
  const std::string line = command + "\n";
  if (inside_->serial.is_open()) return inside_->send_to(inside_->serial, line);
  return inside_->send_to(inside_->socket, line);
}

Result<std::string> MeterLine::ask(const std::string& command) {
  const Result<Done> sent = send(command);
  if (!sent) return sent.problem();
  if (inside_->serial.is_open()) return inside_->line_from(inside_->serial);
  return inside_->line_from(inside_->socket);
}

}  // namespace strandbook
