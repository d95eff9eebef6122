#include "front/cli/document_options.hpp"

#include <chrono>
#include <cstdlib>

#include "front/cli/job_source.hpp"

namespace strandbook {
namespace {

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

Result<Done> settle(DocumentOptions& options) {
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
  const Result<Instant> created = moment_of(options.created);
  if (!created) return created.problem();
  options.report.created = *created;
  return settle_pictures(options);
}

}  // namespace

void add_document_options(CLI::App& command, DocumentOptions& options) {
  command.add_option("--book", options.job.book, "A book instead of files");
  add_file_options(command, options.job);
  add_rule_options(command, options.job);
  add_import_options(command, options.job);
  add_scope_options(command, options.scope);
  command.add_option("--site", options.report.site, "Site");
  command.add_option("--contractor", options.report.contractor, "By whom");
  command.add_option("--paper", options.paper, "a4 or letter");
  command.add_option("--length-unit", options.length, "m or ft");
  command.add_option("--language", options.language, "en or de");
  command.add_option("--created", options.created,
                     "Moment of making, seconds since 1970 UTC; the default is now");
}

Result<JudgedWork> work_of(DocumentOptions& options) {
  if (const Result<Done> settled = settle(options); !settled) return settled.problem();
  Result<JudgedWork> work = judged_work(options.job);
  if (!work) return work;
  if (const auto done = narrow_to(*work, options.scope, options.report); !done) return done.problem();
  return work;
}

}  // namespace strandbook
