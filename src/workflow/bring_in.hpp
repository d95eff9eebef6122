#pragma once
// Files as they come from the jobsite to schedule, references and readings, every row accounted for.

#include <string>
#include <utility>
#include <vector>

#include "domain/verdict/judge.hpp"
#include "edge/book/recording.hpp"
#include "edge/exchange/table_import.hpp"
#include "workflow/read_traces.hpp"

namespace strandbook {

struct JobFiles {
  std::vector<std::string> schedules;
  std::vector<std::string> references;
  std::vector<std::string> readings;
  std::vector<std::string> calibrations = {};
  std::vector<std::string> continuity = {};
  std::vector<std::string> traces = {};  ///< files, or folders of them
  TraceChoices trace_choices = {};
};

/// What files held. Rows that could not be used stand in `unread` with their places.
struct BroughtIn {
  JobInput input;
  std::vector<Problem> unread;
  std::vector<ImportNote> notes;
};

/// The files in the order in which they must be read: the readings need the schedule.
std::vector<std::pair<ImportPurpose, std::string>> in_reading_order(const JobFiles& files);

/// One file's sheets as rows of the given purpose. Readings that name their ends get their direction from
/// the schedule.
Result<BroughtIn> understand(const std::vector<Grid>& sheets, ImportPurpose purpose,
                             const ImportChoices& choices, const Schedule& schedule);

/// One file with traces; where it holds none it stands in `unread`.
BroughtIn understand_trace_file(std::string_view bytes, const std::string& name, const TraceChoices& choices);

/// What goes into a book.
RowsToAdd rows_of(const BroughtIn& brought);

/// The text of a --columns file.
Result<std::string> read_map_file(const std::string& path);

/// A file that cannot be read at all is a Problem; nothing of the others is used then.
Result<BroughtIn> bring_in(const JobFiles& files, const ImportChoices& choices);

}  // namespace strandbook
