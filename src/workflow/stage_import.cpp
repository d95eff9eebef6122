#include "workflow/stage_import.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "edge/exchange/table_sheets.hpp"

namespace strandbook {
namespace {

constexpr std::size_t most_rows = 200;
constexpr std::size_t most_samples = 5;
constexpr std::size_t most_columns = 200;

TableKind table_of(ImportPurpose purpose) {
  switch (purpose) {
    case ImportPurpose::schedule:
      return TableKind::schedule;
    case ImportPurpose::references:
      return TableKind::references;
    case ImportPurpose::readings:
      return TableKind::readings;
    case ImportPurpose::calibrations:
      return TableKind::calibrations;
    case ImportPurpose::continuity:
    case ImportPurpose::traces:  // no table, and never asked
      return TableKind::continuity;
    case ImportPurpose::document:
      break;  // it has no table
  }
  return TableKind::readings;
}

std::string name_of_field(Field field, TableKind table) {
  for (const NamedField& each : fields_of(table))
    if (each.field == field) return std::string(each.name);
  return {};
}

/// What each column of a sheet is used for, by its index.
std::vector<std::string> meanings_of(const ColumnPlan& plan, TableKind table, std::size_t width) {
  std::vector<std::string> meanings(width);
  const auto take = [&](const PlannedColumn& column) {
    if (column.index < width) meanings[column.index] = name_of_field(column.meaning.field, table);
  };
  for (const PlannedColumn& column : plan.columns) take(column);
  for (const ValueGroup& group : plan.values)
    for (const PlannedColumn& column : group.columns) take(column);
  return meanings;
}

void see_sheet(const Grid& grid, const ColumnPlan& plan, TableKind table, std::vector<SeenColumn>& seen) {
  std::size_t width = plan.rows.headings.size();
  if (width == 0 && grid.rows() > 0) width = grid.width(0);
  width = std::min(width, most_columns);
  const std::vector<std::string> meanings = meanings_of(plan, table, width);
  for (std::size_t column = 0; column < width; ++column) {
    SeenColumn each;
    each.sheet = grid.sheet();
    each.letter = column_letters(column + 1);
    if (column < plan.rows.headings.size()) each.heading = plan.rows.headings[column];
    each.meaning = meanings[column];
    for (std::size_t row = plan.rows.first_data; row < grid.rows() && each.samples.size() < most_samples;
         ++row)
      if (const auto cell = grid.cell(row, column); !cell.empty())
        each.samples.emplace_back(cell.substr(0, 80));
    seen.push_back(std::move(each));
  }
}

std::vector<SeenColumn> columns_seen(const std::vector<Grid>& sheets, TableKind table,
                                     const ImportChoices& choices) {
  const auto chosen = choices_for(table, choices.columns);
  const std::vector<ColumnChoice> none;
  std::vector<SeenColumn> seen;
  for (const Grid& grid : sheets)
    see_sheet(grid, plan_columns(grid, table, chosen ? *chosen : none), table, seen);
  return seen;
}

std::string words_of_strand(const ScheduledStrand& strand) {
  std::string words = "strand " + name_of(strand);
  if (strand.fibre) words += fmt::format(", {}", text_of(*strand.fibre));
  if (strand.length) words += fmt::format(", {:.10g} m", strand.length->value);
  return words;
}

std::string words_of_reference(const Reference& reference) {
  return fmt::format("reference {}{:.10g} nm: {:.2f} dBm", reference.id.empty() ? "" : reference.id + ", ",
                     reference.wavelength.value, reference.power.value);
}

std::string words_of_reading(const Reading& reading) {
  std::string words = fmt::format("{}{}{}, {:.10g} nm", reading.link, reading.link.empty() ? "" : "/",
                                  reading.strand, reading.wavelength.value);
  if (reading.direction) words += fmt::format(" {}", text_of(*reading.direction));
  if (reading.kind == ReadingKind::no_light) return words + ": no light";
  return words + fmt::format(": {:.2f} {}", reading.value, reading.kind == ReadingKind::power ? "dBm" : "dB");
}

std::string words_of_calibration(const Calibration& calibration) {
  return fmt::format("instrument {}: {} to {}", calibration.instrument, iso_text(calibration.from),
                     iso_text(calibration.through));
}

std::string words_of_path(const LightPath& path) {
  return fmt::format("{} \u2192 {}", path.in, path.out.empty() ? "no light" : path.out);
}

/// The first rows of the file with what became of each, in the order of the file.
std::vector<SeenRow> rows_seen(const BroughtIn& brought) {
  std::vector<SeenRow> rows;
  const auto put = [&rows](const Place& at, bool used, std::string words) {
    if (at.row > 0) rows.push_back({at.row, at.sheet, used, std::move(words)});
  };
  const auto first = [](const auto& list) { return std::min(list.size(), most_rows); };
  const JobInput& input = brought.input;
  for (std::size_t i = 0; i < first(input.schedule); ++i)
    put(input.schedule[i].at, true, words_of_strand(input.schedule[i]));
  for (std::size_t i = 0; i < first(input.references); ++i)
    put(input.references[i].at, true, words_of_reference(input.references[i]));
  for (std::size_t i = 0; i < first(input.readings.rows); ++i)
    put(input.readings.place_of(input.readings.rows[i]), true, words_of_reading(input.readings.rows[i]));
  for (std::size_t i = 0; i < first(input.records.calibrations); ++i)
    put(input.records.calibrations[i].at, true, words_of_calibration(input.records.calibrations[i]));
  for (std::size_t i = 0; i < first(input.records.light_paths); ++i)
    put(input.records.light_paths[i].at, true, words_of_path(input.records.light_paths[i]));
  for (std::size_t i = 0; i < first(brought.unread); ++i)
    put(brought.unread[i].at, false, describe(brought.unread[i]));
  std::stable_sort(rows.begin(), rows.end(),
                   [](const SeenRow& a, const SeenRow& b) { return a.row < b.row; });
  if (rows.size() > most_rows) rows.resize(most_rows);
  return rows;
}

/// A file with traces has no columns: a line for each trace.
Understood understand_staged_traces(const StagedFile& file) {
  Understood result;
  result.brought = understand_trace_file(*file.bytes, file.name, file.traces);
  std::size_t row = 0;
  for (const HeldTrace& trace : result.brought.input.traces)
    result.rows.push_back({++row, {}, true, words_of(trace)});
  for (const Problem& problem : result.brought.unread)
    result.rows.push_back({++row, {}, false, describe(problem)});
  result.used = result.brought.input.traces.size();
  return result;
}

}  // namespace

std::optional<Understood> understand_staged(const StagedFile& file, const Schedule& schedule,
                                            const Progress& progress) {
  const auto goes_on = [&](double part) { return !progress || progress(part); };
  if (file.purpose == ImportPurpose::traces) return understand_staged_traces(file);
  const TableKind table = table_of(file.purpose);
  Understood result;
  for (const NamedField& each : fields_of(table)) result.fields.emplace_back(each.name);
  if (!goes_on(0.05)) return std::nullopt;
  const Result<std::vector<Grid>> sheets = read_grids_from_bytes(*file.bytes, file.name);
  if (!goes_on(0.4)) return std::nullopt;
  if (!sheets) {
    result.error = sheets.problem();
    return result;
  }
  result.columns = columns_seen(*sheets, table, file.choices);
  if (!goes_on(0.5)) return std::nullopt;
  Result<BroughtIn> brought = understand(*sheets, file.purpose, file.choices, schedule);
  if (!goes_on(0.95)) return std::nullopt;
  if (!brought) {
    result.error = brought.problem();
    return result;
  }
  result.brought = std::move(*brought);
  const JobInput& input = result.brought.input;
  result.used = input.schedule.size() + input.references.size() + input.readings.rows.size() +
                input.records.calibrations.size() + input.records.light_paths.size();
  result.rows = rows_seen(result.brought);
  return result;
}

Result<std::string> accept_staged(LiveJob& job, const StagedFile& file, const Understood& understood,
                                  const std::string& by) {
  const BroughtIn& brought = understood.brought;
  const ImportedFile imported{
      file.name, *file.bytes, file.purpose,
      file.purpose == ImportPurpose::traces ? understood_as(file.traces) : understood_as(file.choices),
      brought.notes};
  const RowsToAdd rows = rows_of(brought);
  const Result<Imported> added = job.import(imported, rows, by);
  if (!added) return added.problem();
  return words_for(imported, rows, *added);
}

}  // namespace strandbook
