// The simulated meter as a program: on a port of this computer, or on a pseudo-terminal for a serial line.

#include <arpa/inet.h>
#include <fcntl.h>
#include <fmt/format.h>
#include <netinet/in.h>
#include <poll.h>
#include <stdlib.h>
#include <sys/socket.h>
#include <termios.h>
#include <unistd.h>

#include <CLI/CLI.hpp>
#include <chrono>
#include <csignal>
#include <map>
#include <vector>

#include "front/meter_simulator/simulated_meter.hpp"

namespace {

using strandbook::MeterAnswer;
using strandbook::SimulatedMeter;

double seconds_on() {
  static const auto start = std::chrono::steady_clock::now();
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

int listening_at(std::uint16_t port) {
  const int listener = ::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
  const int yes = 1;
  ::setsockopt(listener, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes);
  sockaddr_in at{};
  at.sin_family = AF_INET;
  at.sin_port = htons(port);
  at.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
  socklen_t length = sizeof at;
  if (::bind(listener, reinterpret_cast<sockaddr*>(&at), length) != 0 || ::listen(listener, 8) != 0)
    return -1;
  ::getsockname(listener, reinterpret_cast<sockaddr*>(&at), &length);
  fmt::print("tcp://127.0.0.1:{}\n", ntohs(at.sin_port));
  return listener;
}

int pseudo_terminal() {
  const int master = ::posix_openpt(O_RDWR | O_NOCTTY);
  if (master < 0 || ::grantpt(master) != 0 || ::unlockpt(master) != 0) return -1;
  termios raw{};
  ::tcgetattr(master, &raw);
  ::cfmakeraw(&raw);
  ::tcsetattr(master, TCSANOW, &raw);
  // Kept open at this end too, so that the line stays up when a program closes its end.
  static_cast<void>(::open(::ptsname(master), O_RDWR | O_NOCTTY));
  fmt::print("serial:{}\n", ::ptsname(master));
  return master;
}

/// Answers every whole line that arrived. False where the line ends.
bool serve_line(int line, std::string& waiting, SimulatedMeter& meter) {
  char bytes[1024];
  const ssize_t count = ::read(line, bytes, sizeof bytes);
  if (count <= 0) return false;
  waiting.append(bytes, static_cast<std::size_t>(count));
  for (std::size_t end = 0; (end = waiting.find('\n')) != std::string::npos; waiting.erase(0, end + 1)) {
    const MeterAnswer answer = meter.answer(std::string_view(waiting).substr(0, end), seconds_on());
    if (answer.hang_up) return false;
    if (::write(line, answer.text.data(), answer.text.size()) < 0) return false;
  }
  return waiting.size() < 4096;
}

void serve(int listener, int terminal, SimulatedMeter& meter) {
  std::map<int, std::string> lines;
  if (terminal >= 0) lines[terminal];
  while (true) {
    std::vector<pollfd> watched;
    if (listener >= 0) watched.push_back({listener, POLLIN, 0});
    for (const auto& [line, waiting] : lines) watched.push_back({line, POLLIN, 0});
    if (::poll(watched.data(), watched.size(), -1) < 0) continue;
    for (const pollfd& each : watched) {
      if (each.revents == 0) continue;
      if (each.fd == listener) {
        if (const int line = ::accept4(listener, nullptr, nullptr, SOCK_CLOEXEC); line >= 0) lines[line];
      } else if (!serve_line(each.fd, lines[each.fd], meter) && each.fd != terminal) {
        ::close(each.fd);
        lines.erase(each.fd);
      }
    }
  }
}

/// The exit status; it ends otherwise only by a signal.
int simulate(int argc, char** argv) {
  CLI::App app{"A simulated optical power meter for tests and demonstrations."};
  strandbook::SimulatedMeterSettings settings;
  int port = -1;
  bool terminal = false;
  bool crlf = false;
  std::vector<std::string> levels;
  app.add_option("--tcp", port, "Port on this computer; 0 takes any free one")->check(CLI::Range(0, 65535));
  app.add_flag("--pty", terminal, "A pseudo-terminal, for use as a serial line");
  app.add_option("--level", levels, "NM=DBM, such as 1310=-5.2");
  app.add_option("--noise", settings.noise_db, "Standard deviation of a reading, dB");
  app.add_option("--drift", settings.drift_db_per_hour, "Drift of the source, dB per hour");
  app.add_option("--seed", settings.seed, "The same seed gives the same noise");
  app.add_flag("--watts", settings.in_watts, "Answer in watts");
  app.add_flag("--crlf", crlf, "End lines with CR LF");
  CLI11_PARSE(app, argc, argv);
  if (crlf) settings.line_end = "\r\n";
  for (const std::string& each : levels) {
    const std::size_t sign = each.find('=');
    if (sign != std::string::npos)
      settings.level_dbm[std::atoi(each.c_str())] = std::strtod(each.c_str() + sign + 1, nullptr);
  }
  std::signal(SIGPIPE, SIG_IGN);
  const int listener = port >= 0 ? listening_at(static_cast<std::uint16_t>(port)) : -1;
  const int line = terminal ? pseudo_terminal() : -1;
  if (listener < 0 && line < 0) {
    fmt::print(stderr, "meter-simulator: give --tcp PORT (one that is free) or --pty\n");
    return 2;
  }
  std::fflush(stdout);
  SimulatedMeter meter(settings);
  serve(listener, line, meter);
  return 0;
}

}  // namespace

int main(int argc, char** argv) {
  try {
    return simulate(argc, argv);
  } catch (const std::exception& error) {
    std::fputs(error.what(), stderr);
    return 2;
  }
}
