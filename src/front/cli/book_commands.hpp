#pragma once
// The parts of the command `book`.

#include <CLI/CLI.hpp>

#include "front/cli/commands.hpp"

namespace strandbook {

void add_book_share_commands(CLI::App& book_command, ExitStatus& status);

}  // namespace strandbook
