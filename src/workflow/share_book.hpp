#pragma once
// Bringing books together, carrying facts between them, backup and restore, devices.

#include <string>
#include <vector>

#include "edge/book/carry_file.hpp"
#include "edge/book/verify.hpp"
#include "workflow/keep_book.hpp"

namespace strandbook {

/// What came of one source, and what a person should look at.
struct Merged {
  std::string words;
  TakenIn taken;
  /// Strands that more than one device read; all readings stay, the latest valid one counts.
  std::vector<std::string> read_by_several;
  /// Strands that are planned more than once with other values.
  std::vector<Problem> planned_differently;
};

/// `source`: another book, or a carry-file.
Result<Merged> merge_into(OpenBook& book, const std::string& source);

/// Everything, or what the side that gave `ends_file` (`book ends`) lacks.
Result<Carried> carry_out(const OpenBook& book, const std::string& ends_file, const std::string& path);

/// A carry-file of the whole book, checked by restoring it beside and comparing.
Result<Carried> back_up(const OpenBook& book, const std::string& path);
/// A new book with all facts of a backup. Refuses a name that is taken, and a backup that does not verify.
Result<Verification> restore(const std::string& backup, const std::string& path);

/// `ends_file` may be empty; its ends must stand in the book. `trusted_roots`: for time stamps; may be empty.
Result<Verification> verify_book(const OpenBook& book, const std::string& ends_file,
                                 const std::string& trusted_roots = {});

/// Writes what a time-stamping authority is to be sent, and the ends it speaks of beside it (".ends").
Result<Done> ask_for_time_stamp(const OpenBook& book, const std::string& request_file);
/// Takes the authority's answer into the book. Returns words for the person.
Result<std::string> keep_time_stamp(OpenBook& book, const std::string& answer_file,
                                    const std::string& ends_file);

/// Facts of this device after `last` no longer count; without it, after those that the book holds now.
Result<Done> retire_device(OpenBook& book, const std::string& device, std::optional<std::int64_t> last,
                           const Ground& ground);

}  // namespace strandbook
