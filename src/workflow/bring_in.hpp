#pragma once
// Files as they come from the jobsite to schedule, references and readings, every row accounted for.

#include <string>
#include <vector>

#include "domain/verdict/judge.hpp"
#include "edge/exchange/table_import.hpp"

namespace strandbook {

struct JobFiles {
  std::vector<std::string> schedules;
  std::vector<std::string> references;
  std::vector<std::string> readings;
};

/// What the files held. Rows that could not be used stand in `unread` with their places.
struct BroughtIn {
  JobInput input;
  std::vector<Problem> unread;
  std::vector<ImportNote> notes;
};

/// The text of a --columns file.
Result<std::string> read_map_file(const std::string& path);

/// A file that cannot be read at all is a Problem; nothing of the others is used then.
Result<BroughtIn> bring_in(const JobFiles& files, const ImportChoices& choices);
/// The same where the schedule is known already, from a book.
Result<BroughtIn> bring_in_more(const JobFiles& files, const ImportChoices& choices, const Schedule& known);

}  // namespace strandbook
