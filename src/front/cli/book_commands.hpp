#pragma once
// The parts of the command `book`.

#include <CLI/CLI.hpp>
#include <memory>

#include "front/cli/commands.hpp"

namespace strandbook {

/// An action on the book that is named first.
template <class Options>
CLI::App* add_book_action(CLI::App& command, const char* name, const char* words,
                          const std::shared_ptr<Options>& options, ExitStatus& status,
                          int (*action)(const Options&)) {
  CLI::App* sub = command.add_subcommand(name, words);
  sub->add_option("book", options->book, "The book's file")->required();
  sub->callback([options, &status, action] { status.value = action(*options); });
  return sub;
}

void add_book_share_commands(CLI::App& book_command, ExitStatus& status);
void add_book_owner_commands(CLI::App& book_command, ExitStatus& status);
void add_book_splice_command(CLI::App& book_command, ExitStatus& status);

}  // namespace strandbook
