// Certificates of instruments, and where light came out.

#include <iterator>

#include "edge/exchange/sheet_rows.hpp"
#include "edge/exchange/table_import.hpp"

namespace strandbook {
namespace {

std::string text_of(const SheetRows& rows, Field field, std::size_t row) {
  return std::string(rows.text(rows.plan().find(field), row));
}

/// The last day of a certificate: as written, or so many days after the first.
std::optional<Instant> last_day(SheetRows& rows, std::size_t row, const Instant& from) {
  if (const auto through = rows.day(rows.plan().find(Field::valid_through), row)) return through;
  if (rows.row_is_bad) return std::nullopt;
  const auto days = rows.count(rows.plan().find(Field::valid_days), row);
  if (days) return day_of(from, *days);
  if (!rows.row_is_bad)
    rows.refuse_row(row, row_text(rows.grid(), row), "the last day of the certificate, or its days",
                    "fill the cell");
  return std::nullopt;
}

void read_calibration(SheetRows& rows, std::size_t row, SiteRecords& into) {
  Calibration found;
  found.instrument = text_of(rows, Field::instrument, row);
  if (found.instrument.empty())
    return rows.refuse_row(row, row_text(rows.grid(), row), "the instrument, as the readings name it",
                           "fill the cell");
  found.kind = text_of(rows, Field::kind, row);
  found.certificate = text_of(rows, Field::certificate, row);
  const PlannedColumn* column = rows.plan().find(Field::calibrated_on);
  const auto from = rows.day(column, row);
  if (!from && !rows.row_is_bad) rows.refuse(*column, row, "the day of the calibration", "fill the cell");
  if (!from) return;
  const auto through = last_day(rows, row, *from);
  if (!through) return;
  if (through->seconds < from->seconds)
    return rows.refuse_row(row, row_text(rows.grid(), row), "a last day that is not before the first",
                           "correct the dates");
  found.from = *from;
  found.through = *through;
  found.at = rows.grid().place(row);
  into.calibrations.push_back(std::move(found));
}

void read_light_path(SheetRows& rows, std::size_t row, SiteRecords& into) {
  LightPath path;
  path.in = text_of(rows, Field::from, row);
  if (path.in.empty())
    return rows.refuse_row(row, row_text(rows.grid(), row), "the port that light was sent into",
                           "fill the cell");
  const PlannedColumn* column = rows.plan().find(Field::to);
  const std::string_view out = rows.text(column, row);
  if (out.empty())
    return rows.refuse(*column, row, "the port where light was seen, or \"none\"",
                       "a blank cell does not say that nothing was seen");
  if (!says_dark(out) && bare_key(out) != "nowhere" && bare_key(out) != "nirgends") path.out = out;
  path.time = rows.moment(row);
  path.operator_name = text_of(rows, Field::operator_name, row);
  path.at = rows.grid().place(row);
  into.light_paths.push_back(std::move(path));
}

using ReadRow = void (*)(SheetRows& rows, std::size_t row, SiteRecords& into);

Result<ImportedRecords> import_records(const std::vector<Grid>& sheets, TableKind table,
                                       const ImportChoices& choices, ReadRow read) {
  auto planned = plan_sheets(sheets, table, choices);
  if (!planned) return planned.problem();
  ImportedRecords all;
  all.notes = std::move(planned->notes);
  for (const PlannedSheet& sheet : planned->sheets) {
    SheetRows rows(sheet, choices.date_order);
    for (std::size_t row = rows.first(); row < rows.end(); ++row) {
      rows.begin_row();
      if (!rows.is_passed_over(row)) read(rows, row, all.records);
    }
    rows.finish();
    std::move(rows.unread.begin(), rows.unread.end(), std::back_inserter(all.unread));
    std::move(rows.notes.begin(), rows.notes.end(), std::back_inserter(all.notes));
  }
  return all;
}

}  // namespace

Result<ImportedRecords> import_calibrations(const std::vector<Grid>& sheets, const ImportChoices& choices) {
  return import_records(sheets, TableKind::calibrations, choices, read_calibration);
}

Result<ImportedRecords> import_continuity(const std::vector<Grid>& sheets, const ImportChoices& choices) {
  return import_records(sheets, TableKind::continuity, choices, read_light_path);
}

}  // namespace strandbook
