#pragma once
// From sheets of text to schedule, references and readings. Every row is used, or kept with its place.

#include <optional>
#include <string>
#include <vector>

#include "domain/diagnosis/finding.hpp"
#include "domain/plan/schedule.hpp"
#include "domain/problem/problem.hpp"
#include "domain/readings/reading.hpp"
#include "domain/readings/site_records.hpp"
#include "edge/exchange/grid.hpp"

namespace strandbook {

/// Sign of a loss column. The trade also writes loss as change of level (negative); a file is never
/// turned silently: the person confirms.
enum class LossSign { as_written, change_of_level };
enum class DateOrder { by_proof, day_first, month_first };

/// What the person settled beyond what the file itself proves.
struct ImportChoices {
  /// "loss_db=IL; wavelength_nm:=1310": field=heading, field:=constant for every row; `;` or new line
  /// between.
  std::string columns;
  LossSign loss_sign = LossSign::as_written;
  DateOrder date_order = DateOrder::by_proof;
};

struct ImportedSchedule {
  Schedule strands;
  std::vector<Problem> unread;
  std::vector<ImportNote> notes;
};
struct ImportedReferences {
  std::vector<Reference> references;
  std::vector<Problem> unread;
  std::vector<ImportNote> notes;
};
/// A readings file may hold references too (a `kind` column).
struct ImportedReadings {
  ReadingSet readings;
  std::vector<Reference> references;
  std::vector<Problem> unread;
  std::vector<ImportNote> notes;
};

/// Certificates of instruments, or where light came out.
struct ImportedRecords {
  SiteRecords records;
  std::vector<Problem> unread;
  std::vector<ImportNote> notes;
};

Result<ImportedSchedule> import_schedule(const std::vector<Grid>& sheets, const ImportChoices& choices);
Result<ImportedReferences> import_references(const std::vector<Grid>& sheets, const ImportChoices& choices);
/// Readings that name their ends ("from TR2 to TR1") get their direction from `schedule`, whose end_a and
/// end_b tell which is which; it may be null.
Result<ImportedReadings> import_readings(const std::vector<Grid>& sheets, const ImportChoices& choices,
                                         const Schedule* schedule = nullptr);

Result<ImportedRecords> import_calibrations(const std::vector<Grid>& sheets, const ImportChoices& choices);
Result<ImportedRecords> import_continuity(const std::vector<Grid>& sheets, const ImportChoices& choices);

}  // namespace strandbook
