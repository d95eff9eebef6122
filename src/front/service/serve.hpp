#pragma once
// Serving books to the screens: what the command line asks for.

#include <cstdint>
#include <string>
#include <vector>

#include "domain/problem/problem.hpp"

namespace strandbook {

enum class Sharing { this_computer, network };

struct ServeOptions {
  std::vector<std::string> paths;
  std::uint16_t port = 8270;
  Sharing sharing = Sharing::this_computer;
  bool open_screen = false;
};

/// Where the people who may come in are kept.
std::string people_file();

/// Serves until the person ends it. Tells on standard output where, and the lead's code for joining.
Result<Done> serve(const ServeOptions& options);

}  // namespace strandbook
