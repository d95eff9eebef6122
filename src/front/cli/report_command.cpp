#include <fmt/format.h>

#include "front/cli/commands.hpp"
#include "front/cli/document_options.hpp"
#include "front/cli/terminal.hpp"

namespace strandbook {
namespace {

struct ReportCommandOptions {
  DocumentOptions document;
  std::string only;
};

int run_report(ReportCommandOptions options) {
  DocumentOptions& document = options.document;
  const Result<JudgedWork> work = work_of(document);
  if (!work) return refuse(work.problem());
  const Result<std::vector<std::string>> written =
      hand_over(*work, document.report, document.out, options.only,
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
  DocumentOptions& document = options->document;
  add_document_options(*command, document);
  command->add_option("-o,--out", document.out, "Folder for the report; made if missing")->required();
  command->add_option("--only", options->only, "Only one of: pdf, xlsx, csv, json, certificates, labels");
  command->add_option("--title", document.report.title, "Title on the cover");
  command->add_option("--client", document.report.client, "For whom");
  command->add_option("--client-picture", document.client_picture, "PNG or JPEG for the cover");
  command->add_option("--contractor-picture", document.contractor_picture, "PNG or JPEG for the cover");
  command->callback([options, &status] { status.value = run_report(*options); });
}

}  // namespace strandbook
