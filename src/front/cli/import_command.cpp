#include <fmt/format.h>

#include "front/cli/commands.hpp"
#include "front/cli/options.hpp"
#include "front/cli/terminal.hpp"

namespace strandbook {
namespace {

struct ImportOptions {
  JobOptions job;
};

/// Shows how files are understood, without judging or keeping anything.
int run_import(const ImportOptions& options) {
  const Result<ImportChoices> choices = import_choices(options.job);
  if (!choices) return refuse(choices.problem());
  const Result<JobFiles> files = job_files(options.job);
  if (!files) return refuse(files.problem());
  const Result<BroughtIn> brought = bring_in(*files, *choices);
  if (!brought) return refuse(brought.problem());
  const JobInput& input = brought->input;
  fmt::print("{} strands, {} references, {} readings\n", input.schedule.size(), input.references.size(),
             input.readings.rows.size());
  const SiteRecords& records = input.records;
  if (!records.calibrations.empty()) fmt::print("{} calibrations\n", records.calibrations.size());
  if (!records.light_paths.empty()) fmt::print("{} light paths\n", records.light_paths.size());
  for (const HeldTrace& trace : input.traces) fmt::print("  {}\n", wrapped(words_of(trace), 4));
  for (const ImportNote& note : brought->notes)
    fmt::print("  {}\n", wrapped(fmt::format("{}{}{}: {}", note.file, note.sheet.empty() ? "" : ", ",
                                             note.sheet, note.text),
                                 4));
  for (const Reading& reading : input.readings.rows) {
    if (input.readings.rows.size() > 20) break;
    const char* unit = reading.kind == ReadingKind::power ? "dBm" : "dB";
    fmt::print(
        "  {}\n",
        wrapped(fmt::format("{}: {}{}{} {} nm {} {}", describe(input.readings.place_of(reading)),
                            reading.link, reading.link.empty() ? "" : "/", reading.strand,
                            reading.wavelength.value, reading.direction ? text_of(*reading.direction) : "-",
                            reading.kind == ReadingKind::no_light
                                ? "no light"
                                : fmt::format("{:.4g} {}", reading.value, unit)),
                4));
  }
  if (brought->unread.empty()) return 0;
  fmt::print("{} rows or cells not used (kept):\n", brought->unread.size());
  for (const Problem& row : brought->unread) fmt::print("  {}\n", wrapped(describe(row), 4));
  return 1;
}

}  // namespace

void add_import_command(CLI::App& app, ExitStatus& status) {
  auto options = std::make_shared<ImportOptions>();
  CLI::App* command =
      app.add_subcommand("import", "Show how files are understood, row by row, before they count");
  add_file_options(*command, options->job);
  add_trace_options(*command, options->job);
  add_import_options(*command, options->job);
  command->callback([options, &status] { status.value = run_import(*options); });
}

}  // namespace strandbook
