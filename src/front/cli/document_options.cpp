#include "front/cli/document_options.hpp"

#include "front/cli/job_source.hpp"
#include "front/cli/moment.hpp"

namespace strandbook {
namespace {

Result<Done> settle_pictures(DocumentOptions& options) {
  const auto read = [](const std::string& path, std::optional<CoverPicture>& into) -> Result<Done> {
    if (path.empty()) return Done{};
    Result<CoverPicture> picture = read_cover_picture(path);
    if (!picture) return picture.problem();
    into = std::move(*picture);
    return Done{};
  };
  if (const auto done = read(options.client_picture, options.report.client_picture); !done)
    return done.problem();
  return read(options.contractor_picture, options.report.contractor_picture);
}

}  // namespace

Result<Done> settle_look(DocumentOptions& options) {
  if (options.paper == "letter")
    options.report.paper = Paper::letter;
  else if (options.paper != "a4")
    return Problem{{"--paper", {}, 0, {}}, options.paper, "a4 or letter", ""};
  if (options.length == "ft")
    options.report.length = LengthUnit::feet;
  else if (options.length != "m")
    return Problem{{"--length-unit", {}, 0, {}}, options.length, "m or ft", ""};
  const auto language = parse_language(options.language);
  if (!language) return Problem{{"--language", {}, 0, {}}, options.language, "en or de", ""};
  options.report.language = report_language(*language);
  const Result<Instant> created = moment_given("--created", options.created);
  if (!created) return created.problem();
  options.report.created = *created;
  return settle_pictures(options);
}

void add_look_options(CLI::App& command, DocumentOptions& options) {
  command.add_option("--site", options.report.site, "Site");
  command.add_option("--contractor", options.report.contractor, "By whom");
  command.add_option("--paper", options.paper, "a4 or letter");
  command.add_option("--length-unit", options.length, "m or ft");
  command.add_option("--language", options.language, "en or de");
  command.add_option("--created", options.created,
                     "Moment of making, seconds since 1970 UTC; the default is now");
}

void add_document_options(CLI::App& command, DocumentOptions& options) {
  command.add_option("--book", options.job.book, "A book instead of files");
  add_file_options(command, options.job);
  add_trace_options(command, options.job);
  add_rule_options(command, options.job);
  add_import_options(command, options.job);
  add_scope_options(command, options.scope);
  add_look_options(command, options);
}

Result<JudgedWork> work_of(DocumentOptions& options) {
  if (const Result<Done> settled = settle_look(options); !settled) return settled.problem();
  Result<JudgedWork> work = judged_work(options.job);
  if (!work) return work;
  if (const auto done = narrow_to(*work, options.scope, options.report); !done) return done.problem();
  return work;
}

}  // namespace strandbook
