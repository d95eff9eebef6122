#include "front/cli/terminal.hpp"

#include <fmt/format.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <csignal>
#include <cstdlib>
#include <memory>

#include "edge/report/legible.hpp"

namespace strandbook {
namespace {

/// Number of columns a UTF-8 text takes where every character is one wide.
std::size_t columns_of(std::string_view text) {
  return static_cast<std::size_t>(std::count_if(
      text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
}

const char* colour_of(Outcome outcome) {
  switch (outcome) {
    case Outcome::pass:
      return "\x1b[36m";
    case Outcome::conditional_pass:
      return "\x1b[34m";
    case Outcome::conditional_fail:
      return "\x1b[33m";
    case Outcome::fail:
      return "\x1b[1;31m";
    case Outcome::not_tested:
      return "\x1b[2m";
    case Outcome::invalid:
      return "\x1b[35m";
  }
  return "";
}

/// While it stands, Ctrl-C asks the work to end well instead of ending the program at once. Outside of it the
/// program may end anywhere: files get their names last, and a book takes whole transactions.
class InterruptWatch {
 public:
  InterruptWatch() {
    interrupted = 0;
    before_ = std::signal(SIGINT, [](int) {
      interrupted = 1;
      (void)std::signal(SIGINT, SIG_DFL);  // a second Ctrl-C ends the program
    });
  }
  InterruptWatch(const InterruptWatch&) = delete;
  InterruptWatch& operator=(const InterruptWatch&) = delete;
  ~InterruptWatch() { (void)std::signal(SIGINT, before_); }
  static bool seen() { return interrupted != 0; }

 private:
  static inline volatile std::sig_atomic_t interrupted = 0;
  void (*before_)(int);
};

}  // namespace

std::size_t terminal_width() {
  winsize size{};
  if (::ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0)
    return std::max<std::size_t>(40, size.ws_col);
  return 80;
}

bool colour_wanted() {
  const char* term = std::getenv("TERM");
  return ::isatty(STDOUT_FILENO) != 0 && std::getenv("NO_COLOR") == nullptr && term != nullptr &&
         std::string_view{term} != "dumb";
}

std::string_view shape_of(Outcome outcome) {
  switch (outcome) {
    case Outcome::pass:
      return "●";
    case Outcome::conditional_pass:
      return "◐";
    case Outcome::conditional_fail:
      return "◧";
    case Outcome::fail:
      return "■";
    case Outcome::not_tested:
      return "○";
    case Outcome::invalid:
      return "◇";
  }
  return "";
}

std::string styled(Outcome outcome) {
  const std::string text = fmt::format("{} {}", shape_of(outcome), text_of(outcome));
  return colour_wanted() ? colour_of(outcome) + text + "\x1b[0m" : text;
}

std::string heading(std::string_view text) {
  return colour_wanted() ? "\x1b[1m" + std::string{text} + "\x1b[0m" : std::string{text};
}

std::string wrapped(std::string_view words, std::size_t indent) {
  const std::string text = legible(words);
  const std::size_t width = terminal_width();
  const std::string margin(indent, ' ');
  std::string out;
  std::size_t column = indent;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find(' ', at), text.size());
    const std::string_view word = std::string_view(text).substr(at, end - at);
    at = end + 1;
    const std::size_t needed = columns_of(word);
    if (column > indent && column + 1 + needed > width) {
      out += "\n" + margin;
      column = indent;
    } else if (column > indent) {
      out += ' ';
      ++column;
    }
    out += word;
    column += needed;
  }
  return out;
}

Progress show_progress(std::string what) {
  const auto interrupt = std::make_shared<InterruptWatch>();
  if (::isatty(STDERR_FILENO) == 0) return [interrupt](double) { return !InterruptWatch::seen(); };
  using Clock = std::chrono::steady_clock;
  return [interrupt, what = std::move(what), start = Clock::now(),
          last = std::make_shared<Clock::time_point>()](double done) {
    const auto now = Clock::now();
    if (now - start > std::chrono::milliseconds(400) && now - *last > std::chrono::milliseconds(100)) {
      *last = now;
      fmt::print(stderr, "\r{}: {:3.0f} %", what, done * 100);
      if (done >= 1) fmt::print(stderr, "\r{:60}\r", "");
      std::fflush(stderr);
    }
    return !InterruptWatch::seen();
  };
}

}  // namespace strandbook
