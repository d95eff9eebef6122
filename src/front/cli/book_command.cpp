#include <fmt/format.h>

#include "front/cli/book_commands.hpp"
#include "front/cli/options.hpp"
#include "front/cli/terminal.hpp"
#include "workflow/keep_book.hpp"

namespace strandbook {
namespace {

struct BookOptions {
  JobOptions job;
  std::string book;
  std::string link;
  std::string strand;
  std::string fact;
  std::vector<std::string> values;
  Ground ground;
};

int create(const BookOptions& options) {
  const Result<OpenBook> book = create_book(options.book, options.job.name);
  if (!book) return refuse(book.problem());
  fmt::print("{} begun.\n", options.book);
  return 0;
}

int add(const BookOptions& options) {
  const Result<ImportChoices> choices = import_choices(options.job);
  if (!choices) return refuse(choices.problem());
  const Result<JobFiles> files = job_files(options.job);
  if (!files) return refuse(files.problem());
  Result<OpenBook> book = open_book(options.book);
  if (!book) return refuse(book.problem());
  const Result<std::vector<FileKept>> kept = add_files(*book, *files, *choices);
  if (!kept) return refuse(kept.problem());
  bool all_used = true;
  for (const FileKept& file : *kept) {
    fmt::print("{}\n", wrapped(file.words, 2));
    for (const ImportNote& note : file.notes) fmt::print("  {}\n", wrapped(note.text, 4));
    for (const Problem& row : file.unread) fmt::print("  {}\n", wrapped(describe(row), 4));
    all_used = all_used && file.unread.empty();
  }
  return all_used ? 0 : 1;
}

int rule(const BookOptions& options) {
  const Result<JobSettings> settings = job_settings(options.job);
  if (!settings) return refuse(settings.problem());
  Result<OpenBook> book = open_book(options.book);
  if (!book) return refuse(book.problem());
  const Result<Done> done = settle_rule(*book, *settings, options.ground);
  if (!done) return refuse(done.problem());
  fmt::print("The job is judged by this from now on.\n");
  return 0;
}

Result<std::map<std::string, std::string>> values_of(const std::vector<std::string>& texts) {
  std::map<std::string, std::string> values;
  for (const std::string& text : texts) {
    const std::size_t sign = text.find('=');
    if (sign == std::string::npos || sign == 0)
      return Problem{{"--set", {}, 0, {}}, "\"" + text + "\"", "field=value, such as loss_db=0.52", ""};
    values[text.substr(0, sign)] = text.substr(sign + 1);
  }
  return values;
}

int correct(const BookOptions& options) {
  const auto values = values_of(options.values);
  if (!values) return refuse(values.problem());
  Result<OpenBook> book = open_book(options.book);
  if (!book) return refuse(book.problem());
  const Result<Done> done = options.values.empty()
                                ? withdraw_row(*book, options.fact, options.ground)
                                : correct_row(*book, options.fact, *values, options.ground);
  if (!done) return refuse(done.problem());
  fmt::print("{}\n", options.values.empty() ? "Withdrawn; it stays in the history."
                                            : "Corrected; the old row stays in the history.");
  return 0;
}

int show_history(const BookOptions& options) {
  const Result<OpenBook> book = open_to_read(options.book);
  if (!book) return refuse(book.problem());
  const auto entries = history(*book->store, options.link, options.strand);
  if (!entries) return refuse(entries.problem());
  for (const HistoryEntry& entry : *entries) {
    const Instant at{entry.fact.time_ms / 1000, true, true, true};
    fmt::print("{}  {}  {}\n", iso_text(at), text_of(entry.fact.id), text_of(entry.standing));
    fmt::print("    {}\n", wrapped(entry.summary, 4));
    if (!entry.reason.empty())
      fmt::print("    {}\n", wrapped(fmt::format("{}: {}", entry.person, entry.reason), 4));
  }
  if (entries->empty()) fmt::print("Nothing is recorded of this strand.\n");
  return entries->empty() ? 1 : 0;
}

}  // namespace

void add_book_command(CLI::App& app, ExitStatus& status) {
  auto options = std::make_shared<BookOptions>();
  CLI::App* command = app.add_subcommand("book", "The job's book: nothing in it is ever overwritten");
  command->require_subcommand(1);
  CLI::App* begin = add_book_action(*command, "create", "Begin a book", options, status, create);
  begin->add_option("--name", options->job.name, "Name of the job")->required();
  CLI::App* bring = add_book_action(*command, "add", "Bring files into the book", options, status, add);
  add_file_options(*bring, options->job);
  add_trace_options(*bring, options->job);
  add_import_options(*bring, options->job);
  CLI::App* judged_by =
      add_book_action(*command, "rule", "Settle how the job is judged", options, status, rule);
  add_rule_options(*judged_by, options->job);
  CLI::App* mend = add_book_action(*command, "correct", "Correct a row, or withdraw it, as a new fact",
                                   options, status, correct);
  mend->add_option("fact", options->fact, "Id of the fact, from `book history`")->required();
  mend->add_option("--set", options->values, "field=value; without any the row is withdrawn");
  CLI::App* past =
      add_book_action(*command, "history", "Everything recorded of a strand", options, status, show_history);
  past->add_option("--link", options->link, "Link");
  past->add_option("--strand", options->strand, "Strand");
  add_book_owner_commands(*command, status);
  add_book_splice_command(*command, status);
  add_book_share_commands(*command, status);
  for (CLI::App* each : {judged_by, mend}) {
    each->add_option("--person", options->ground.person, "Who decides")->required();
    each->add_option("--reason", options->ground.reason, "Why")->required();
  }
}

}  // namespace strandbook
