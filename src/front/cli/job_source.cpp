#include "front/cli/job_source.hpp"

#include "edge/exchange/file_bytes.hpp"
#include "workflow/keep_book.hpp"

namespace strandbook {

Result<JudgedWork> judged_work(const JobOptions& options) {
  const Result<JobSettings> settings = job_settings(options);
  if (!settings) return settings.problem();
  if (!options.book.empty()) {
    Result<OpenBook> opened = open_to_read(options.book);
    if (!opened) return opened.problem();
    const auto book = std::make_shared<const OpenBook>(std::move(*opened));
    Result<JudgedWork> work = judge_book(*book, *settings);
    if (work) work->files = files_of(book);
    return work;
  }
  const Result<ImportChoices> choices = import_choices(options);
  if (!choices) return choices.problem();
  if (options.files.schedules.empty())
    return Problem{{"--schedule", {}, 0, {}}, "no schedule", "a cable schedule, or a book with --book", ""};
  const Result<JobFiles> files = job_files(options);
  if (!files) return files.problem();
  Result<BroughtIn> brought = bring_in(*files, *choices);
  if (!brought) return brought.problem();
  Result<JudgedWork> work = judge_job(std::move(*brought), *settings);
  if (work) work->files = [](const std::string& path) { return read_file_bytes(path); };
  return work;
}

}  // namespace strandbook
