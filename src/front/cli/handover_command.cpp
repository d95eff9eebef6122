// What the owner gets, and whether what was got is as it was made.

#include <fmt/format.h>

#include "front/cli/commands.hpp"
#include "front/cli/document_options.hpp"
#include "front/cli/terminal.hpp"
#include "workflow/make_package.hpp"
#include "workflow/verify_package.hpp"

namespace strandbook {
namespace {

struct HandoverOptions {
  DocumentOptions document;
  PackageWish wish;
  std::string package;
  std::string roots;
};

int run_handover(HandoverOptions options) {
  DocumentOptions& document = options.document;
  if (const Result<Done> settled = settle_look(document); !settled) return refuse(settled.problem());
  options.wish.report = document.report;
  const Result<OpenBook> book = open_book(document.job.book);
  if (!book) return refuse(book.problem());
  const Result<HandoverGround> ground = handover_ground(*book, {}, document.report.created);
  if (!ground) return refuse(ground.problem());
  const Result<MadePackage> made = make_package(
      *book, *ground, options.wish, [](const std::string& what) { return show_progress("Writing " + what); });
  if (!made) return refuse(made.problem());
  fmt::print("{}\n{}\n{} files, signed by {}\nSHA-256 of the certificate, for the owner to compare:\n  {}\n",
             made->folder, made->zip, made->files, made->signer, wrapped(made->fingerprint, 2));
  if (made->may_leave) return 0;
  fmt::print("The owner may send it back: see `strandbook preflight --book {}`.\n", document.job.book);
  return 1;
}

void print_seal(const PackageCheck& check) {
  if (!check.seal) return;
  fmt::print("Signed by {}\n  SHA-256 {}\n", wrapped(check.seal->subject, 2),
             wrapped(check.seal->fingerprint, 10));
  if (check.seal->trusted)
    fmt::print("  A certificate that you trust vouches for the signer.\n");
  else
    fmt::print("  {}\n",
               wrapped("Who that is has not been shown: compare the fingerprint with one that you were "
                       "told by another way, or give --trust.",
                       2));
  fmt::print(
      "  {}\n",
      wrapped(check.signed_by_book
                  ? "The signer is a device that wrote into the book."
                  : "The signer is no device that wrote into the book: whoever it is may have made PDF, "
                    "workbook and page anew; they are not compared.",
              2));
}

int run_verify(const HandoverOptions& options) {
  const Result<PackageCheck> check =
      verify_package(options.package, options.roots, show_progress("Verifying " + options.package));
  if (!check) return refuse(check.problem());
  fmt::print("Files as they were signed: {}\n", check->files);
  print_seal(*check);
  fmt::print("Facts in chains that hold: {}\nResults that come out the same when judged anew: {}\n",
             check->facts, check->tests);
  for (const Problem& wrong : check->wrong) fmt::print("✕ {}\n", wrapped(describe(wrong), 2));
  fmt::print("{}\n",
             check->holds() ? "The package is as it was made." : "The package is not as it was made.");
  return check->holds() ? 0 : 1;
}

}  // namespace

void add_handover_command(CLI::App& app, ExitStatus& status) {
  auto options = std::make_shared<HandoverOptions>();
  CLI::App* command = app.add_subcommand(
      "handover", "The signed package for the owner: report, results, originals, book, a page to look at");
  DocumentOptions& document = options->document;
  command->add_option("--book", document.job.book, "The job's book")->required();
  add_look_options(*command, document);
  command->add_option("-o,--out", options->wish.folder, "Folder to make; its ZIP is made beside it")
      ->required();
  command->add_option("--title", document.report.title, "Title on the cover");
  command->add_option("--client", document.report.client, "For whom");
  command->add_option("--client-picture", document.client_picture, "PNG or JPEG for the cover");
  command->add_option("--contractor-picture", document.contractor_picture, "PNG or JPEG for the cover");
  command->add_option("--key", options->wish.key_file,
                      "Private key of the signer (PEM); without it this device signs");
  command->add_option("--certificate", options->wish.certificate_file, "Certificate of the signer (PEM)");
  command->callback([options, &status] { status.value = run_handover(*options); });
}

void add_verify_command(CLI::App& app, ExitStatus& status) {
  auto options = std::make_shared<HandoverOptions>();
  CLI::App* command =
      app.add_subcommand("verify", "Whether a package is as it was made, and says what its book says");
  command->add_option("package", options->package, "The folder or the ZIP")->required();
  command->add_option("--trust", options->roots, "Certificates that you trust (PEM)");
  command->callback([options, &status] { status.value = run_verify(*options); });
}

}  // namespace strandbook
