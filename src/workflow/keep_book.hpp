#pragma once
// What a person does with a book: begin it, bring files in, choose the rule, correct, look back, judge.

#include <map>
#include <memory>
#include <string>
#include <vector>

#include "edge/book/book_state.hpp"
#include "edge/book/history.hpp"
#include "edge/book/recording.hpp"
#include "edge/book/verify.hpp"
#include "workflow/judge_job.hpp"

namespace strandbook {

/// A book that is open, and the device that writes into it.
struct OpenBook {
  std::shared_ptr<const void> scratch;  ///< files that last as long as the store needs them; may be empty
  std::unique_ptr<Store> store;
  Device device;  ///< as the author of its chain in this book
};

/// This device's identity: STRANDBOOK_DEVICE, else strandbook/device in the user's state folder.
std::string device_file();

Result<OpenBook> create_book(const std::string& path, const std::string& job_name);
Result<OpenBook> open_book(const std::string& path);
/// A book, or a package that was handed over (its folder or ZIP), to be looked at only.
Result<OpenBook> open_to_read(const std::string& path);

/// Every choice a file is read with, in one stable text: the same file read otherwise is another import.
std::string understood_as(const ImportChoices& choices);
/// A line for the person on what an import came to.
std::string words_for(const ImportedFile& file, const RowsToAdd& rows, const Imported& imported);

/// What became of one file: a line for the person, and the rows that could not be used.
struct FileKept {
  std::string words;
  std::vector<Problem> unread;
  std::vector<ImportNote> notes;
};

/// Reads each file and adds its rows, with its original bytes. A file that cannot be read stops the work;
/// those before it are in the book by then, each whole.
Result<std::vector<FileKept>> add_files(OpenBook& book, const JobFiles& files, const ImportChoices& choices);

/// Records how the job is judged from now on; the own rule's whole text goes into the book.
Result<Done> settle_rule(OpenBook& book, const JobSettings& settings, const Ground& ground);

/// A rule choice as a person's settings, so that a part of it can be changed; its profile by text only.
JobSettings settings_of(const RuleChoice& choice);

/// What the last rule choice settles, under what the person settles now. A Problem where the profile that the
/// book holds cannot be read.
Result<JobSettings> settled(const std::vector<Held<RuleChoice>>& choices, const JobSettings& given);

/// Judges the book's current state. What `given` settles goes before what the book's rule choice settles.
Result<JudgedWork> judge_book(const OpenBook& book, const JobSettings& given, const Progress& progress = {});

/// The same of a state that was read already: its rows go into what is returned, the rest of it stays.
Result<JudgedWork> judge_state(BookState& state, const JobSettings& given);

/// Bytes that the book keeps, by their hash as text.
Result<std::string> kept_file(const Store& store, const std::string& kept);
/// The same as the source of a judged job's files; `book` is kept open as long as it is used.
KeptFiles files_of(const std::shared_ptr<const OpenBook>& book);

/// Rows that count now, each list beside the facts they stand in.
struct CountingRows {
  const Schedule& schedule;
  const std::vector<Uuid>& strand_facts;
  const std::vector<Reference>& references;
  const std::vector<Uuid>& reference_facts;
  const std::vector<Reading>& readings;
  const std::vector<Uuid>& reading_facts;
};
/// The row of this fact with new values, field to text. `texts` keeps what a reading's new texts view into.
Result<NewValues> new_values(const CountingRows& rows, const Uuid& fact,
                             const std::map<std::string, std::string>& values, ReadingSet& texts);
/// Where a fact stands in a list of them.
std::optional<std::uint32_t> row_of(const std::vector<Uuid>& facts, const Uuid& fact);
/// The id that a person or a screen gave.
Result<Uuid> fact_named(const std::string& text);

/// New values for a row: field to text, such as loss_db to 0.52. The old row stays in the history.
Result<Done> correct_row(OpenBook& book, const std::string& fact,
                         const std::map<std::string, std::string>& values, const Ground& ground);
Result<Done> withdraw_row(OpenBook& book, const std::string& fact, const Ground& ground);

}  // namespace strandbook
