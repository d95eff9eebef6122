#include "workflow/bring_in.hpp"

#include "edge/exchange/file_bytes.hpp"

namespace strandbook {
namespace {

template <class T>
void append(std::vector<T>& all, std::vector<T>& part) {
  all.insert(all.end(), std::make_move_iterator(part.begin()), std::make_move_iterator(part.end()));
}

template <class Imported>
void account(BroughtIn& brought, Imported& imported) {
  append(brought.unread, imported.unread);
  append(brought.notes, imported.notes);
}

void note_how_read(BroughtIn& brought, const std::vector<Grid>& sheets) {
  for (const Grid& sheet : sheets)
    if (!sheet.how_read.empty()) brought.notes.push_back({sheet.file(), sheet.sheet(), sheet.how_read});
}

Result<Done> bring_schedule(BroughtIn& brought, const std::string& path, const ImportChoices& choices) {
  const Result<std::vector<Grid>> sheets = read_grids(path);
  if (!sheets) return sheets.problem();
  Result<ImportedSchedule> imported = import_schedule(*sheets, choices);
  if (!imported) return imported.problem();
  note_how_read(brought, *sheets);
  append(brought.input.schedule, imported->strands);
  account(brought, *imported);
  return Done{};
}

Result<Done> bring_references(BroughtIn& brought, const std::string& path, const ImportChoices& choices) {
  const Result<std::vector<Grid>> sheets = read_grids(path);
  if (!sheets) return sheets.problem();
  Result<ImportedReferences> imported = import_references(*sheets, choices);
  if (!imported) return imported.problem();
  note_how_read(brought, *sheets);
  append(brought.input.references, imported->references);
  account(brought, *imported);
  return Done{};
}

Result<Done> bring_readings(BroughtIn& brought, const std::string& path, const ImportChoices& choices,
                            const Schedule& schedule) {
  const Result<std::vector<Grid>> sheets = read_grids(path);
  if (!sheets) return sheets.problem();
  Result<ImportedReadings> imported = import_readings(*sheets, choices, &schedule);
  if (!imported) return imported.problem();
  note_how_read(brought, *sheets);
  append(brought.input.references, imported->references);
  brought.input.readings.append(std::move(imported->readings));
  account(brought, *imported);
  return Done{};
}

}  // namespace

Result<std::string> read_map_file(const std::string& path) { return read_file_bytes(path); }

Result<BroughtIn> bring_in(const JobFiles& files, const ImportChoices& choices) {
  return bring_in_more(files, choices, {});
}

Result<BroughtIn> bring_in_more(const JobFiles& files, const ImportChoices& choices, const Schedule& known) {
  BroughtIn brought;
  for (const std::string& path : files.schedules)
    if (const Result<Done> done = bring_schedule(brought, path, choices); !done) return done.problem();
  for (const std::string& path : files.references)
    if (const Result<Done> done = bring_references(brought, path, choices); !done) return done.problem();
  const Schedule& schedule = brought.input.schedule.empty() ? known : brought.input.schedule;
  for (const std::string& path : files.readings)
    if (const Result<Done> done = bring_readings(brought, path, choices, schedule); !done)
      return done.problem();
  return brought;
}

}  // namespace strandbook
