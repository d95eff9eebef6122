// What the book holds for its owner besides rows: statements, notes on strands, enclosed documents.

#include <fmt/format.h>

#include <filesystem>

#include "edge/exchange/file_bytes.hpp"
#include "front/cli/book_commands.hpp"
#include "front/cli/options.hpp"
#include "workflow/keep_book.hpp"
#include "workflow/statements.hpp"

namespace strandbook {
namespace {

struct OwnerOptions {
  std::string book;
  std::string file;
  std::string form;
  std::string field;
  Subject strand;
  std::string text;
  std::string person;
};

int keep_remark(const OwnerOptions& options, const Result<Remark>& remark) {
  if (!remark) return refuse(remark.problem());
  Result<OpenBook> book = open_book(options.book);
  if (!book) return refuse(book.problem());
  const Result<Uuid> kept = add_remark(*book->store, book->device, *remark);
  if (!kept) return refuse(kept.problem());
  fmt::print("Recorded.\n");
  return 0;
}

int state_field(const OwnerOptions& options) {
  return keep_remark(options, statement(options.field, options.text, options.person));
}

int note_strand(const OwnerOptions& options) {
  return keep_remark(options, note_on_strand(options.strand, options.text, options.person));
}

int enclose(const OwnerOptions& options) {
  const Result<std::string> bytes = read_file_bytes(options.file);
  if (!bytes) return refuse(bytes.problem());
  const Result<ImportedFile> file =
      enclosed_document(options.form, std::filesystem::path(options.file).filename().string(), *bytes);
  if (!file) return refuse(file.problem());
  Result<OpenBook> book = open_book(options.book);
  if (!book) return refuse(book.problem());
  const Result<Imported> kept = add_import(*book->store, book->device, *file, {});
  if (!kept) return refuse(kept.problem());
  fmt::print("{}\n", words_for(*file, {}, *kept));
  return 0;
}

}  // namespace

void add_book_owner_commands(CLI::App& book_command, ExitStatus& status) {
  auto options = std::make_shared<OwnerOptions>();
  CLI::App* state =
      add_book_action(book_command, "state", "State for the whole job what no file has a column for", options,
                      status, state_field);
  state->add_option("--field", options->field, "As the pre-flight names it: closure shut, cable type, ...")
      ->required();
  CLI::App* note = add_book_action(book_command, "note", "Note what was done or seen at a strand", options,
                                   status, note_strand);
  note->add_option("--link", options->strand.link, "Link");
  note->add_option("--strand", options->strand.strand, "Strand")->required();
  for (CLI::App* each : {state, note}) {
    each->add_option("--text", options->text, "What is said")->required();
    each->add_option("--person", options->person, "Who says it")->required();
  }
  CLI::App* document =
      add_book_action(book_command, "enclose", "Enclose a document for the owner", options, status, enclose);
  document->add_option("file", options->file, "The document")->required();
  document->add_option("--form", options->form, "calibration certificate, test procedure, signed sheet, ...")
      ->required();
}

}  // namespace strandbook
