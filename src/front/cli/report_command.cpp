#include <fmt/format.h>

#include <filesystem>

#include "front/cli/commands.hpp"
#include "front/cli/job_source.hpp"
#include "front/cli/moment.hpp"
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

Result<Done> settle(ReportCommandOptions& options) {
  if (options.paper == "letter")
    options.report.paper = Paper::letter;
  else if (options.paper != "a4")
    return Problem{{"--paper", {}, 0, {}}, options.paper, "a4 or letter", ""};
  if (options.length == "ft")
    options.report.length = LengthUnit::feet;
  else if (options.length != "m")
    return Problem{{"--length-unit", {}, 0, {}}, options.length, "m or ft", ""};
  const Result<Instant> created = moment_given("--created", options.created);
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
