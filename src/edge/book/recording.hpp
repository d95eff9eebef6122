#pragma once
// Adding to a book: imports, typed rows, choices, remarks, corrections. Each is written whole or not at all.

#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "domain/plan/schedule.hpp"
#include "domain/readings/cord_check.hpp"
#include "domain/readings/reading.hpp"
#include "domain/readings/site_records.hpp"
#include "domain/traces/held_trace.hpp"
#include "edge/book/record.hpp"
#include "edge/book/store.hpp"

namespace strandbook {

/// A file as it came, and how it was read.
struct ImportedFile {
  std::string name;
  std::string_view bytes;  ///< kept in the book as they are
  ImportPurpose purpose = ImportPurpose::readings;
  std::string understood;  ///< every choice it was read with, in one stable text; may be empty
  std::vector<ImportNote> notes;
};

/// Rows to add, in the order of the file. Views: they must live until the call returns.
struct RowsToAdd {
  std::span<const ScheduledStrand> strands = {};
  std::span<const Reference> references = {};
  const ReadingSet* readings = nullptr;
  std::span<const Calibration> calibrations = {};
  std::span<const LightPath> light_paths = {};
  std::span<const HeldTrace> traces = {};
  std::span<const Problem> unread = {};
  std::string_view entry = {};  ///< name a screen gave the one row it sends
};

enum class ImportOutcome {
  added,
  already_in_book,   ///< same bytes, same purpose, same choices: nothing was written
  replaced_earlier,  ///< same bytes and purpose, other choices: the earlier rows were withdrawn
};

struct Imported {
  ImportOutcome outcome = ImportOutcome::added;
  Uuid import;            ///< the import's fact, or that of the one already in the book
  std::size_t facts = 0;  ///< written
  std::string note;       ///< words for the person where it was not simply added
};

Result<Imported> add_import(Store& store, const Device& device, const ImportedFile& file,
                            const RowsToAdd& rows);
/// Rows that come from no file.
Result<Appended> add_rows(Store& store, const Device& device, const RowsToAdd& rows);

Result<Uuid> set_job(Store& store, const Device& device, const JobRecord& job);
Result<Uuid> choose_rule(Store& store, const Device& device, const RuleChoice& choice);
Result<Uuid> add_remark(Store& store, const Device& device, const Remark& remark);
Result<Appended> add_cord_check(Store& store, const Device& device, const CordCheck& check,
                                std::string_view entry);

Result<Appended> add_splice_attempt(Store& store, const Device& device, const SpliceAttempt& attempt,
                                    std::string_view entry);

/// Who corrects, and why. Both are needed.
struct Ground {
  std::string person;
  std::string reason;
};

/// New values of a row; its place in its file stays that of the old fact.
using NewValues = std::variant<ScheduledStrand, Reference, Reading>;

/// The new values count from now on; the old stay in the history. `fact` may also be an earlier correction of
/// the same row. Returns the id of the correction.
Result<Uuid> correct_fact(Store& store, const Device& device, const Uuid& fact, const NewValues& values,
                          const Ground& ground);
/// The fact no longer counts. An import goes with all its rows; withdrawing a correction undoes it.
Result<Uuid> withdraw_fact(Store& store, const Device& device, const Uuid& fact, const Ground& ground);

}  // namespace strandbook
