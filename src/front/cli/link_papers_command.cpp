// Certificates of links, and labels for them.

#include <fmt/format.h>

#include <optional>

#include "edge/report/certificates.hpp"
#include "front/cli/commands.hpp"
#include "front/cli/document_options.hpp"
#include "front/cli/terminal.hpp"

namespace strandbook {
namespace {

struct LinkPapersOptions {
  DocumentOptions document;
  std::string address;
  std::string each = "link";
  std::optional<int> columns;
  std::optional<int> rows;
  std::optional<double> top;
  std::optional<double> side;
  std::optional<double> gap_x;
  std::optional<double> gap_y;
  bool cut_lines = false;
};

int run_certificates(LinkPapersOptions options) {
  DocumentOptions& document = options.document;
  const Result<JudgedWork> work = work_of(document);
  if (!work) return refuse(work.problem());
  const auto written = write_certificates_pdf(work->job, document.report, options.address, document.out,
                                              show_progress("Writing " + document.out));
  if (!written) return refuse(written.problem());
  fmt::print("{}\n", document.out);
  return all_holds(*work) ? 0 : 1;
}

std::optional<LabelFor> parse_label_for(std::string_view text) {
  if (text == "link") return LabelFor::link;
  if (text == "end") return LabelFor::end;
  if (text == "strand") return LabelFor::strand;
  return std::nullopt;
}

/// The usual sheet of the paper, with what was asked for in its place.
LabelSheet sheet_for(const LinkPapersOptions& options, LabelFor each) {
  LabelSheet sheet = usual_labels(options.document.report.paper);
  sheet.columns = options.columns.value_or(sheet.columns);
  sheet.rows = options.rows.value_or(sheet.rows);
  sheet.top = options.top.value_or(sheet.top);
  sheet.side = options.side.value_or(sheet.side);
  sheet.gap_x = options.gap_x.value_or(sheet.gap_x);
  sheet.gap_y = options.gap_y.value_or(sheet.gap_y);
  sheet.cut_lines = options.cut_lines;
  sheet.each = each;
  return sheet;
}

int run_labels(LinkPapersOptions options) {
  DocumentOptions& document = options.document;
  const auto each = parse_label_for(options.each);
  if (!each) return refuse(bad_option("--each", options.each, "link, end or strand"));
  const Result<JudgedWork> work = work_of(document);
  if (!work) return refuse(work.problem());
  const auto written =
      write_labels_pdf(work->job, document.report, sheet_for(options, *each), options.address, document.out,
                       show_progress("Writing " + document.out));
  if (!written) return refuse(written.problem());
  fmt::print("{}\n", document.out);
  return 0;
}

void add_sheet_options(CLI::App& command, LinkPapersOptions& options) {
  command.add_option("--each", options.each, "One label for each: link, end or strand");
  command.add_option("--across", options.columns, "Labels side by side; the default is 3")
      ->check(CLI::Range(1, 20));
  command
      .add_option("--down", options.rows, "Labels below one another; the default is 8 on A4, 10 on Letter")
      ->check(CLI::Range(1, 60));
  const CLI::Range margin(0.0, 100.0);
  command.add_option("--margin-top", options.top, "Top and bottom margin, mm")->check(margin);
  command.add_option("--margin-side", options.side, "Left and right margin, mm")->check(margin);
  command.add_option("--gap-across", options.gap_x, "Between columns, mm")->check(margin);
  command.add_option("--gap-down", options.gap_y, "Between rows, mm")->check(margin);
  command.add_flag("--cut-lines", options.cut_lines, "Fine lines to cut along, for plain paper");
}

CLI::App* document_command(CLI::App& app, const std::shared_ptr<LinkPapersOptions>& options, const char* name,
                           const char* what) {
  CLI::App* command = app.add_subcommand(name, what);
  add_document_options(*command, options->document);
  command->add_option("-o,--out", options->document.out, "The PDF to write")->required();
  command->add_option("--address", options->address,
                      "Address that the QR codes begin with, such as https://site.example/links/; without it "
                      "they hold the name");
  return command;
}

}  // namespace

void add_certificates_command(CLI::App& app, ExitStatus& status) {
  auto options = std::make_shared<LinkPapersOptions>();
  document_command(app, options, "certificates", "A page for each link, to sign and to keep: PDF")
      ->callback([options, &status] { status.value = run_certificates(*options); });
}

void add_labels_command(CLI::App& app, ExitStatus& status) {
  auto options = std::make_shared<LinkPapersOptions>();
  CLI::App* command = document_command(app, options, "labels", "Labels with names and QR codes: PDF");
  add_sheet_options(*command, *options);
  command->callback([options, &status] { status.value = run_labels(*options); });
}

}  // namespace strandbook
