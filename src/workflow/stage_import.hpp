#pragma once
// A file before it counts: how its columns are understood, what becomes of each row, and then its acceptance.

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "edge/exchange/assessment_out.hpp"
#include "workflow/bring_in.hpp"
#include "workflow/live_job.hpp"

namespace strandbook {

/// A file as it came, and how it is to be read.
struct StagedFile {
  std::string name;
  ImportPurpose purpose = ImportPurpose::readings;
  std::shared_ptr<const std::string> bytes;
  ImportChoices choices;
  TraceChoices traces = {};
};

struct SeenColumn {
  std::string sheet;
  std::string heading;
  std::string letter;   ///< as the person's program names it: "A", "AB"
  std::string meaning;  ///< name of a field; empty where it is not used
  std::vector<std::string> samples;
};

/// A row of the file and what became of it.
struct SeenRow {
  std::size_t row = 0;  ///< 1-based
  std::string sheet;
  bool used = false;
  std::string words;
};

/// A file as it was understood. `error`: why nothing of it can be used; the columns are there even then.
struct Understood {
  std::optional<Problem> error;
  std::vector<SeenColumn> columns;
  std::vector<std::string> fields;  ///< names that a column may be given
  BroughtIn brought;
  std::size_t used = 0;       ///< strands, readings and other records that the rows gave
  std::vector<SeenRow> rows;  ///< the first of them
};

/// `schedule`: of the book, for readings that name their ends. `progress` may end the work: then nothing is
/// returned.
std::optional<Understood> understand_staged(const StagedFile& file, const Schedule& schedule,
                                            const Progress& progress);

/// Takes the rows and the file's bytes into the book. Returns words for the person.
Result<std::string> accept_staged(LiveJob& job, const StagedFile& file, const Understood& understood,
                                  const std::string& by = {});

}  // namespace strandbook
