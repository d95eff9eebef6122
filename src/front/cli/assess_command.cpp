#include <fmt/format.h>

#include "front/cli/commands.hpp"
#include "front/cli/job_source.hpp"
#include "front/cli/options.hpp"
#include "front/cli/summary.hpp"
#include "front/cli/terminal.hpp"

namespace strandbook {
namespace {

struct AssessOptions {
  JobOptions job;
  std::string json;
  std::string csv;
  bool quiet = false;
};

Result<Done> write_outputs(const AssessOptions& options, const JudgedJob& job) {
  if (!options.json.empty())
    if (const Result<Done> done =
            write_assessment_json(job, options.json, show_progress("Writing " + options.json));
        !done)
      return done.problem();
  if (!options.csv.empty())
    if (const Result<Done> done =
            write_assessment_csv(job, options.csv, show_progress("Writing " + options.csv));
        !done)
      return done.problem();
  return Done{};
}

int run_assess(const AssessOptions& options) {
  const Result<JudgedWork> work = judged_work(options.job);
  if (!work) return refuse(work.problem());
  if (const Result<Done> done = write_outputs(options, work->job); !done) return refuse(done.problem());
  // Human text is never mixed with what a machine reads.
  const bool machine_reads = options.json == "-" || options.csv == "-";
  if (!options.quiet && !machine_reads) print_summary(work->job);
  return all_holds(*work) ? 0 : 1;
}

}  // namespace

void add_assess_command(CLI::App& app, ExitStatus& status) {
  auto options = std::make_shared<AssessOptions>();
  CLI::App* command =
      app.add_subcommand("assess", "Judge a job: loss, limit, uncertainty and outcome of every test");
  command->add_option("--book", options->job.book, "A book instead of files");
  add_file_options(*command, options->job);
  add_trace_options(*command, options->job);
  add_rule_options(*command, options->job);
  add_import_options(*command, options->job);
  command->add_option("--json", options->json, "Write the assessment as JSON to this file");
  command->add_option("--csv", options->csv, "Write one line per test to this file");
  command->add_flag("-q,--quiet", options->quiet, "No summary on the terminal");
  command->callback([options, &status] { status.value = run_assess(*options); });
}

}  // namespace strandbook
