#include "workflow/bring_in.hpp"

#include <future>
#include <iterator>

#include "edge/exchange/file_bytes.hpp"

namespace strandbook {
namespace {

template <class T>
void append(std::vector<T>& all, std::vector<T>& part) {
  if (all.empty()) return all.swap(part);
  all.insert(all.end(), std::make_move_iterator(part.begin()), std::make_move_iterator(part.end()));
}

/// What every import has, whatever its rows are.
template <class Imported>
void account(BroughtIn& brought, Imported& imported) {
  append(brought.unread, imported.unread);
  append(brought.notes, imported.notes);
}

Result<Done> take_rows(BroughtIn& brought, const std::vector<Grid>& sheets, ImportPurpose purpose,
                       const ImportChoices& choices, const Schedule& schedule) {
  switch (purpose) {
    case ImportPurpose::schedule: {
      Result<ImportedSchedule> imported = import_schedule(sheets, choices);
      if (!imported) return imported.problem();
      brought.input.schedule = std::move(imported->strands);
      account(brought, *imported);
      return Done{};
    }
    case ImportPurpose::references: {
      Result<ImportedReferences> imported = import_references(sheets, choices);
      if (!imported) return imported.problem();
      brought.input.references = std::move(imported->references);
      account(brought, *imported);
      return Done{};
    }
    case ImportPurpose::readings: {
      Result<ImportedReadings> imported = import_readings(sheets, choices, &schedule);
      if (!imported) return imported.problem();
      brought.input.references = std::move(imported->references);
      brought.input.readings = std::move(imported->readings);
      account(brought, *imported);
      return Done{};
    }
    case ImportPurpose::traces:  // no table
      return Done{};
    case ImportPurpose::calibrations:
    case ImportPurpose::continuity: {
      Result<ImportedRecords> imported = purpose == ImportPurpose::calibrations
                                             ? import_calibrations(sheets, choices)
                                             : import_continuity(sheets, choices);
      if (!imported) return imported.problem();
      brought.input.records = std::move(imported->records);
      account(brought, *imported);
      return Done{};
    }
    case ImportPurpose::document:
      return Done{};  // it has no rows
  }
  return Done{};
}

}  // namespace

std::vector<std::pair<ImportPurpose, std::string>> in_reading_order(const JobFiles& files) {
  std::vector<std::pair<ImportPurpose, std::string>> order;
  for (const std::string& path : files.schedules) order.emplace_back(ImportPurpose::schedule, path);
  for (const std::string& path : files.references) order.emplace_back(ImportPurpose::references, path);
  for (const std::string& path : files.readings) order.emplace_back(ImportPurpose::readings, path);
  for (const std::string& path : files.calibrations) order.emplace_back(ImportPurpose::calibrations, path);
  for (const std::string& path : files.continuity) order.emplace_back(ImportPurpose::continuity, path);
  return order;
}

RowsToAdd rows_of(const BroughtIn& brought) {
  const JobInput& input = brought.input;
  return {.strands = input.schedule,
          .references = input.references,
          .readings = &input.readings,
          .calibrations = input.records.calibrations,
          .light_paths = input.records.light_paths,
          .traces = input.traces,
          .unread = brought.unread};
}

Result<BroughtIn> understand(const std::vector<Grid>& sheets, ImportPurpose purpose,
                             const ImportChoices& choices, const Schedule& schedule) {
  BroughtIn brought;
  for (const Grid& sheet : sheets)
    if (!sheet.how_read.empty()) brought.notes.push_back({sheet.file(), sheet.sheet(), sheet.how_read});
  const Result<Done> taken = take_rows(brought, sheets, purpose, choices, schedule);
  if (!taken) return taken.problem();
  return brought;
}

BroughtIn understand_trace_file(std::string_view bytes, const std::string& name,
                                const TraceChoices& choices) {
  BroughtTraces traces = understand_traces(bytes, name, choices);
  BroughtIn brought;
  brought.input.traces = std::move(traces.traces);
  account(brought, traces);
  return brought;
}

Result<std::string> read_map_file(const std::string& path) { return read_file_bytes(path); }

Result<BroughtIn> bring_in(const JobFiles& files, const ImportChoices& choices) {
  const auto order = in_reading_order(files);
  const auto read_ahead = [&order](std::size_t file) {
    return std::async(std::launch::async, [&order, file] { return read_grids(order[file].second); });
  };
  BroughtIn all;
  std::future<Result<std::vector<Grid>>> next;
  if (!order.empty()) next = read_ahead(0);
  for (std::size_t file = 0; file < order.size(); ++file) {
    const Result<std::vector<Grid>> sheets = next.get();
    if (!sheets) return sheets.problem();
    if (file + 1 < order.size()) next = read_ahead(file + 1);
    Result<BroughtIn> one = understand(*sheets, order[file].first, choices, all.input.schedule);
    if (!one) return one.problem();
    append(all.input.schedule, one->input.schedule);
    append(all.input.references, one->input.references);
    append(all.input.records.calibrations, one->input.records.calibrations);
    append(all.input.records.light_paths, one->input.records.light_paths);
    all.input.readings.append(std::move(one->input.readings));
    account(all, *one);
  }
  for (const std::string& path : trace_files(files.traces, all.unread)) {
    const Result<std::string> bytes = read_file_bytes(path);
    if (!bytes) return bytes.problem();
    BroughtIn one = understand_trace_file(*bytes, path, files.trace_choices);
    append(all.input.traces, one.input.traces);
    account(all, one);
  }
  return all;
}

}  // namespace strandbook
