// Books brought together, carried, backed up, verified; their devices.

#include <fmt/format.h>

#include "front/cli/book_commands.hpp"
#include "front/cli/options.hpp"
#include "front/cli/terminal.hpp"
#include "workflow/share_book.hpp"

namespace strandbook {
namespace {

constexpr std::size_t most_named = 10;

struct ShareOptions {
  std::string book;
  std::vector<std::string> sources;
  std::string out;
  std::string ends;
  std::string request;
  std::string answer;
  std::string trust;
  std::string device;
  std::optional<std::int64_t> last;
  Ground ground;
};

void print_merged(const Merged& merged) {
  fmt::print("{}\n", wrapped(merged.words, 2));
  for (const Problem& row : merged.taken.refused) fmt::print("  {}\n", wrapped(describe(row), 4));
  if (!merged.read_by_several.empty()) {
    std::string names;
    for (std::size_t i = 0; i < std::min(most_named, merged.read_by_several.size()); ++i)
      names += (i == 0 ? "" : ", ") + merged.read_by_several[i];
    if (merged.read_by_several.size() > most_named) names += ", ...";
    fmt::print("  {}\n",
               wrapped(fmt::format("{} strands were read by more than one device ({}): all readings "
                                   "stay, the latest valid one counts.",
                                   merged.read_by_several.size(), names),
                       4));
  }
  for (std::size_t i = 0; i < std::min(most_named, merged.planned_differently.size()); ++i)
    fmt::print("  {}\n", wrapped(describe(merged.planned_differently[i]), 4));
  if (merged.planned_differently.size() > most_named)
    fmt::print("  and {} more strands planned differently\n", merged.planned_differently.size() - most_named);
}

int merge_books(const ShareOptions& options) {
  Result<OpenBook> book = open_book(options.book);
  if (!book) return refuse(book.problem());
  bool all_taken = true;
  for (const std::string& source : options.sources) {
    const Result<Merged> merged = merge_into(*book, source);
    if (!merged) return refuse(merged.problem());
    print_merged(*merged);
    all_taken = all_taken && merged->taken.refused.empty();
  }
  return all_taken ? 0 : 1;
}

int told(const char* what, const std::string& path, const Carried& carried) {
  fmt::print("{} {}: {} facts, {} files, {} signatures.\n", what, path, carried.facts, carried.files,
             carried.signatures);
  return 0;
}

int carry(const ShareOptions& options) {
  const Result<OpenBook> book = open_book(options.book);
  if (!book) return refuse(book.problem());
  const Result<Carried> carried = carry_out(*book, options.ends, options.out);
  return carried ? told("Carry-file", options.out, *carried) : refuse(carried.problem());
}

int backup(const ShareOptions& options) {
  const Result<OpenBook> book = open_book(options.book);
  if (!book) return refuse(book.problem());
  const Result<Carried> carried = back_up(*book, options.out);
  return carried ? told("Backup, checked by restoring it,", options.out, *carried)
                 : refuse(carried.problem());
}

int print_ends(const ShareOptions& options) {
  const Result<OpenBook> book = open_book(options.book);
  if (!book) return refuse(book.problem());
  const Result<std::vector<Head>> ends = ends_of(*book->store);
  if (!ends) return refuse(ends.problem());
  fmt::print("{}", heads_text(*ends));
  return 0;
}

void print_chain(const ChainReport& chain) {
  fmt::print("  {}  {} facts, in order to number {}, signed to {}{}\n", text_of(chain.device), chain.facts,
             chain.in_order_to, chain.signed_to,
             chain.ends ? fmt::format(", retired after number {}", *chain.ends) : "");
  for (const std::string& key : chain.keys) fmt::print("      key {}\n", wrapped(key, 10));
  if (chain.keys.size() > 1)
    fmt::print("      {}\n", wrapped("It changed its key: see that this was meant.", 6));
  if (chain.bad) fmt::print("      {}\n", wrapped(describe(*chain.bad), 6));
}

void print_stamp(const StampFound& stamp) {
  const char* trust = !stamp.trusted   ? "Whose that certificate is was not asked: give --trust ROOTS."
                      : *stamp.trusted ? "Its certificate leads to a root that you trust."
                                       : "Its certificate leads to no root that you trust.";
  fmt::print("  stamped {} by {}\n      {}\n", iso_text({stamp.time_s, true, true, true}),
             wrapped(stamp.authority, 6),
             wrapped(fmt::format("{} chains stood like this then. {}", stamp.chains, trust), 6));
}

int print_verification(const Verification& found) {
  fmt::print("{} facts of {} devices and {} files are in order{}\n", found.facts, found.chains.size(),
             found.files, found.holds() ? "." : " before what is not:");
  for (const ChainReport& chain : found.chains) print_chain(chain);
  for (const StampFound& stamp : found.stamps) print_stamp(stamp);
  const bool distrusted = std::any_of(found.stamps.begin(), found.stamps.end(),
                                      [](const StampFound& each) { return each.trusted == false; });
  const bool said = std::any_of(found.chains.begin(), found.chains.end(),
                                [&](const ChainReport& each) { return each.bad.has_value(); });
  if (found.bad && !said) fmt::print("  {}\n", wrapped(describe(*found.bad), 4));
  return found.holds() && !distrusted ? 0 : 1;
}

int stamp_book(const ShareOptions& options) {
  Result<OpenBook> book = open_book(options.book);
  if (!book) return refuse(book.problem());
  if (options.request.empty() == options.answer.empty())
    return refuse({{"book stamp", {}, 0, {}}, "neither --request nor --answer, or both", "one of them", ""});
  if (!options.request.empty()) {
    const Result<Done> asked = ask_for_time_stamp(*book, options.request);
    if (!asked) return refuse(asked.problem());
    fmt::print("{}\n", wrapped("Send " + options.request + " to a time-stamping authority, keep " +
                                   options.request + ".ends, and bring the answer in with --answer.",
                               2));
    return 0;
  }
  const Result<std::string> words = keep_time_stamp(*book, options.answer, options.ends);
  if (!words) return refuse(words.problem());
  fmt::print("{}\n", wrapped(*words, 2));
  return 0;
}

int verify_one(const ShareOptions& options) {
  const Result<OpenBook> book = open_book(options.book);
  if (!book) return refuse(book.problem());
  const Result<Verification> found = verify_book(*book, options.ends, options.trust);
  return found ? print_verification(*found) : refuse(found.problem());
}

int restore_backup(const ShareOptions& options) {
  const Result<Verification> found = restore(options.book, options.out);
  return found ? print_verification(*found) : refuse(found.problem());
}

int print_devices(const ShareOptions& options) {
  const Result<OpenBook> book = open_book(options.book);
  if (!book) return refuse(book.problem());
  fmt::print("This machine writes as {}\n    key {}\n", text_of(book->device.id),
             wrapped(fingerprint_of(book->device.key->public_key()), 8));
  for (const ChainReport& chain : verify(*book->store).chains) print_chain(chain);
  return 0;
}

int retire(const ShareOptions& options) {
  Result<OpenBook> book = open_book(options.book);
  if (!book) return refuse(book.problem());
  const Result<Done> done = retire_device(*book, options.device, options.last, options.ground);
  if (!done) return refuse(done.problem());
  fmt::print("Retired. What it records from now on does not count; what stands before does.\n");
  return 0;
}

}  // namespace

void add_book_share_commands(CLI::App& book_command, ExitStatus& status) {
  auto options = std::make_shared<ShareOptions>();
  const auto action = [&](const char* name, const char* words, int (*run)(const ShareOptions&)) {
    return add_book_action(book_command, name, words, options, status, run);
  };
  action("merge", "Bring other books or carry-files in: nothing is lost, in whatever order", merge_books)
      ->add_option("sources", options->sources, "Books or carry-files")
      ->required();
  CLI::App* take = action("carry", "Write facts to a carry-file for another book", carry);
  take->add_option("--to", options->out, "The new file")->required();
  take->add_option("--beyond", options->ends, "Only what that side lacks: its `book ends`, in a file");
  action("ends", "The signed ends of all chains: keep them elsewhere, hold them against the book later",
         print_ends);
  CLI::App* check =
      action("verify", "See that nothing recorded was changed, left out or added from outside", verify_one);
  check->add_option("--against", options->ends, "Ends that were seen earlier or elsewhere");
  check->add_option("--trust", options->trust,
                    "Root certificates (PEM) of authorities whose stamps you trust");
  CLI::App* stamp =
      action("stamp", "A time stamp (RFC 3161) over all chains: ask for one, or keep the answer", stamp_book);
  stamp->add_option("--request", options->request, "Write the request to this file, the ends to FILE.ends");
  stamp->add_option("--answer", options->answer, "The authority's answer")
      ->needs(stamp->add_option("--ends", options->ends, "The .ends file of the request"));
  action("backup", "Write everything to one file, and check it by restoring it", backup)
      ->add_option("--to", options->out, "The new file")
      ->required();
  CLI::App* back = book_command.add_subcommand("restore", "Make a new book of a backup, and verify it");
  back->add_option("backup", options->book, "The backup")->required();
  back->add_option("--to", options->out, "The new book")->required();
  back->callback([options, &status] { status.value = restore_backup(*options); });
  action("devices", "Who wrote into the book, with which keys", print_devices);
  CLI::App* cut = action("retire", "A device was lost: what it records from now on does not count", retire);
  cut->add_option("device", options->device, "Its id, from `book devices`")->required();
  cut->add_option("--after", options->last,
                  "Number of its last fact that counts; without it the last one here");
  cut->add_option("--person", options->ground.person, "Who decides")->required();
  cut->add_option("--reason", options->ground.reason, "Why")->required();
}

}  // namespace strandbook
