#include <fmt/format.h>

#include <chrono>
#include <cstdlib>
#include <filesystem>

#include "front/cli/commands.hpp"
#include "front/cli/job_source.hpp"
#include "front/cli/terminal.hpp"
#include "workflow/hand_over.hpp"

namespace strandbook {
namespace {

struct ReportCommandOptions {
  JobOptions job;
  ReportOptions report;
  std::string out;
  std::string only;
  std::string paper = "a4";
  std::string length = "m";
  std::string created;
};

/// The moment of making: told, or SOURCE_DATE_EPOCH for bytes that repeat, or now.
Result<Instant> moment_of(const std::string& told) {
  if (!told.empty()) {
    const Result<double> seconds = number_option("--created", told, "seconds since 1970 UTC");
    if (!seconds) return seconds.problem();
    return Instant{static_cast<std::int64_t>(*seconds), true, true, true};
  }
  if (const char* epoch = std::getenv("SOURCE_DATE_EPOCH")) return moment_of(epoch);
  const auto now = std::chrono::system_clock::now().time_since_epoch();
  return Instant{std::chrono::duration_cast<std::chrono::seconds>(now).count(), true, true, true};
}

Result<Done> settle(ReportCommandOptions& options) {
  if (options.paper == "letter")
    options.report.paper = Paper::letter;
  else if (options.paper != "a4")
    return Problem{{"--paper", {}, 0, {}}, options.paper, "a4 or letter", ""};
  if (options.length == "ft")
    options.report.length = LengthUnit::feet;
  else if (options.length != "m")
    return Problem{{"--length-unit", {}, 0, {}}, options.length, "m or ft", ""};
  const Result<Instant> created = moment_of(options.created);
  if (!created) return created.problem();
  options.report.created = *created;
  return Done{};
}

int run_report(ReportCommandOptions options) {
  if (const Result<Done> settled = settle(options); !settled) return refuse(settled.problem());
  const Result<JudgedWork> work = judged_work(options.job);
  if (!work) return refuse(work.problem());
  const Result<std::vector<std::string>> written =
      hand_over(*work, options.report, options.out, options.only,
                [](const std::string& path) { return show_progress("Writing " + path); });
  if (!written) return refuse(written.problem());
  for (const std::string& path : *written) fmt::print("{}\n", path);
  return all_holds(*work) ? 0 : 1;
}

}  // namespace

void add_report_command(CLI::App& app, ExitStatus& status) {
  auto options = std::make_shared<ReportCommandOptions>();
  CLI::App* command =
      app.add_subcommand("report", "Report of a job: PDF, XLSX with live formulas, CSV and JSON");
  command->add_option("--book", options->job.book, "A book instead of files");
  add_file_options(*command, options->job);
  add_trace_options(*command, options->job);
  add_rule_options(*command, options->job);
  add_import_options(*command, options->job);
  command->add_option("-o,--out", options->out, "Folder for the report; made if missing")->required();
  command->add_option("--only", options->only, "Only one of: pdf, xlsx, csv, json");
  command->add_option("--title", options->report.title, "Title on the cover");
  command->add_option("--site", options->report.site, "Site");
  command->add_option("--client", options->report.client, "For whom");
  command->add_option("--contractor", options->report.contractor, "By whom");
  command->add_option("--paper", options->paper, "a4 or letter");
  command->add_option("--length-unit", options->length, "m or ft");
  command->add_option("--created", options->created,
                      "Moment of making, seconds since 1970 UTC; the default is now");
  command->callback([options, &status] { status.value = run_report(*options); });
}

}  // namespace strandbook
