// What changed since another recording of the same plant, which is sent as a file.

#include <filesystem>

#include "edge/exchange/output_file.hpp"
#include "front/service/api.hpp"
#include "workflow/compare_view.hpp"

namespace strandbook {
namespace {

constexpr std::size_t most_compared_rows = 500;

/// The file that was sent goes as soon as it is compared, whatever came of it.
Result<std::string> compared(ServedJob& job, const std::string& sent, const std::string& name,
                             const std::string& folder, const Progress& progress) {
  const std::string path = folder + "/sent";
  if (const Result<Done> kept = write_file(path, sent); !kept) return kept.problem();
  const Result<OpenBook> book = job.live->opened_again();
  if (!book) return book.problem();
  const Result<ComparedJobs> work = compare_with_file(*book, path, name, progress);
  std::error_code gone;
  std::filesystem::remove(path, gone);
  if (!work) return work.problem();
  std::string made = folder + "/comparison.json";
  if (const Result<Done> kept = write_file(made, comparison_view_json(*work, most_compared_rows)); !kept)
    return kept.problem();
  return made;
}

}  // namespace

Response post_compare(Service& service, const Request& request, const Captures& captures) {
  const auto file = request.query.find("file");
  if (file == request.query.end() || file->second.empty() || file->second.size() > 255)
    return problem_response({{}, "no name of a file", "file=NAME", ""}, bad_request);
  return with_job(service, captures, [&](ServedJob& served) {
    const std::shared_ptr<ServedJob> job = served.shared_from_this();
    const auto sent = std::make_shared<const std::string>(request.body);
    const Result<std::string> id = service.tasks.start(
        [job, sent, name = file->second](const std::string& folder, const Progress& progress) {
          return compared(*job, *sent, name, folder, progress);
        },
        [job](const TaskLook& look) { job->hub.publish(event_text("task", task_event(look))); });
    if (!id) return problem_response(id.problem(), 503);
    return json_response("{\"task\":" + text_json(*id) + "}", 202);
  });
}

}  // namespace strandbook
