// A splice that was made, or made again, into the book.

#include <fmt/format.h>

#include "edge/exchange/cell_time.hpp"
#include "front/cli/book_commands.hpp"
#include "front/cli/moment.hpp"
#include "front/cli/options.hpp"
#include "workflow/keep_book.hpp"
#include "workflow/splice_work.hpp"

namespace strandbook {
namespace {

struct SpliceOptions {
  std::string book;
  SpliceAttempt attempt;
  double at_m = 0;
  std::string method;
  std::string time;
};

Result<Instant> time_of(const SpliceOptions& options) {
  if (options.time.empty()) return moment_given("--time", {});
  const auto moment = read_moment(options.time);
  if (moment && moment->pattern == DatePattern::fixed) return moment->day_first;
  return Problem{
      {"--time", {}, 0, {}}, "\"" + options.time + "\"", "a moment such as 2026-04-05T13:12:00Z", ""};
}

Result<SpliceAttempt> attempt_of(const SpliceOptions& options, const Store& store) {
  SpliceAttempt attempt = options.attempt;
  attempt.from_a = {options.at_m};
  if (!options.method.empty()) attempt.method = parse_splice_method(options.method);
  const Result<Instant> time = time_of(options);
  if (!time) return time.problem();
  attempt.time = *time;
  const Result<BookState> state = current_schedule(store);
  if (!state) return state.problem();
  return placed_attempt(state->schedule, std::move(attempt));
}

int record_splice(const SpliceOptions& options) {
  Result<OpenBook> book = open_book(options.book);
  if (!book) return refuse(book.problem());
  const Result<SpliceAttempt> attempt = attempt_of(options, *book->store);
  if (!attempt) return refuse(attempt.problem());
  const Result<Appended> kept = add_splice_attempt(*book->store, book->device, *attempt, {});
  if (!kept) return refuse(kept.problem());
  fmt::print("Recorded: attempt {} at the splice {:g} m from A of {}/{}. Trace it from both ends.\n",
             attempt->attempt, attempt->from_a.value, attempt->link, attempt->strand);
  return 0;
}

}  // namespace

void add_book_splice_command(CLI::App& book_command, ExitStatus& status) {
  auto options = std::make_shared<SpliceOptions>();
  CLI::App* splice = add_book_action(book_command, "splice", "Record that a splice was made, or made again",
                                     options, status, record_splice);
  splice->add_option("--link", options->attempt.link, "Link");
  splice->add_option("--strand", options->attempt.strand, "Strand")->required();
  splice->add_option("--at", options->at_m, "Where it stands, in metres from the connection at A")
      ->required();
  splice->add_option("--attempt", options->attempt.attempt, "Which attempt this is, from 1")->required();
  splice->add_option("--method", options->method, "How it was made")
      ->check(CLI::IsMember({"fusion", "mechanical"}));
  splice->add_option("--time", options->time, "When it was made, such as 2026-04-05T13:12:00Z; else now");
  splice->add_option("--person", options->attempt.person, "Who made it")->required();
}

}  // namespace strandbook
