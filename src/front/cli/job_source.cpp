#include "front/cli/job_source.hpp"

#include "workflow/keep_book.hpp"

namespace strandbook {

Result<JudgedWork> judged_work(const JobOptions& options) {
  const Result<JobSettings> settings = job_settings(options);
  if (!settings) return settings.problem();
  if (!options.book.empty()) {
    const Result<OpenBook> book = open_to_read(options.book);
    if (!book) return book.problem();
    return judge_book(*book, *settings);
  }
  const Result<ImportChoices> choices = import_choices(options);
  if (!choices) return choices.problem();
  if (options.files.schedules.empty())
    return Problem{{"--schedule", {}, 0, {}}, "no schedule", "a cable schedule, or a book with --book", ""};
  const Result<JobFiles> files = job_files(options);
  if (!files) return files.problem();
  Result<BroughtIn> brought = bring_in(*files, *choices);
  if (!brought) return brought.problem();
  return judge_job(std::move(*brought), *settings);
}

}  // namespace strandbook
