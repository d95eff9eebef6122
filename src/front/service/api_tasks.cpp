// Reports made in the background.

#include <algorithm>
#include <filesystem>

#include "edge/exchange/file_bytes.hpp"
#include "front/service/api.hpp"
#include "front/service/entries_in.hpp"
#include "front/service/handover_order.hpp"
#include "workflow/hand_over.hpp"
#include "workflow/make_package.hpp"
#include "workflow/package_files.hpp"

namespace strandbook {
namespace {

std::string task_json(const TaskLook& look) {
  std::string out;
  JsonMembers members(out);
  members.text("task", look.id);
  members.text("state", text_of(look.state));
  members.number("progress", look.progress);
  members.raw("error", look.error ? problem_json(*look.error) : "null");
  members.maybe_text("file", std::filesystem::path(look.file).filename().string());
  members.end();
  return out;
}

Response no_such_task() {
  return problem_response({{}, "a task nobody knows", "one of this run of the program", "Start it again."},
                          not_found);
}

/// The signed package under the job's name; its ZIP is what is fetched.
Result<std::string> make_zip(const ServedJob& job, const ReportOptions& options, const std::string& folder,
                             const Progress& progress) {
  const Result<OpenBook> book = job.live->opened_again();
  if (!book) return book.problem();
  const Result<HandoverGround> ground =
      handover_ground(*book, {}, options.created, [&progress](double) { return progress(0.01); });
  if (!ground) return ground.problem();
  // The page and the workbook take most of the time; which file is written says how far it is.
  double part = 0;
  const Telling telling = [&](const std::string&) -> Progress {
    constexpr double files = 8;
    const double from = part;
    part = std::min(part + 1 / files, 1 - 1 / files);
    return [&progress, from](double done) { return progress(from + std::max(done, 0.0) / files); };
  };
  PackageWish wish;
  wish.report = options;
  wish.folder = folder + "/" + safe_name(ground->work.job.name.empty() ? job.id : ground->work.job.name);
  const Result<MadePackage> made = make_package(*book, *ground, wish, telling);
  if (!made) return made.problem();
  return made->zip;
}

/// Reads the book anew and makes one file of the handover.
Result<std::string> make(const ServedJob& job, const HandoverOrder& order, const std::string& folder,
                         const Progress& progress) {
  if (order.what == "package") return make_zip(job, order.report, folder, progress);
  Result<JudgedWork> work = job.live->judged_copy([&progress](double) { return progress(0.01); });
  if (!work) return work.problem();
  constexpr double judged = 0.2;
  const auto of_file = [&](const std::string&) -> Progress {
    return [&progress](double part) { return progress(judged + (1 - judged) * part); };
  };
  if (!progress(judged)) return cancelled({});
  ReportOptions options = order.report;
  if (const auto done = narrow_to(*work, order.scope, options); !done) return done.problem();
  const auto made = hand_over(*work, options, folder, order.what, of_file);
  if (!made) return made.problem();
  return made->front();
}

std::string type_of_file(const std::string& path) {
  const std::string extension = std::filesystem::path(path).extension().string();
  if (extension == ".pdf") return "application/pdf";
  if (extension == ".carry") return "application/gzip";
  if (extension == ".zip") return "application/zip";
  if (extension == ".xlsx") return "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet";
  return extension == ".csv" ? "text/csv" : "application/json";
}

}  // namespace

std::string task_event(const TaskLook& look) {
  std::string out;
  JsonMembers members(out);
  members.text("task", look.id);
  members.text("state", text_of(look.state));
  members.number("progress", look.progress);
  members.end();
  return out;
}

Response get_parts(Service& service, const Request&, const Captures& captures) {
  return with_job(service, captures, [](ServedJob& job) {
    Scope names;
    job.live->look([&](const JobView& view) {
      if (view.judgement != nullptr) names = names_of(view.judgement->all());
    });
    std::string out;
    JsonMembers members(out);
    const auto list = [&](const char* name, const std::vector<std::string>& each) {
      members.name(name);
      append_json_list(out, each, [&](const std::string& text) { append_json_text(out, text); });
    };
    list("buildings", names.buildings);
    list("panels", names.panels);
    list("cables", names.cables);
    list("operators", names.operators);
    list("links", names.links);
    members.end();
    return json_response(std::move(out));
  });
}

Response post_handover(Service& service, const Request& request, const Captures& captures) {
  Result<FieldsIn> fields = FieldsIn::parse(request);
  if (!fields) return problem_response(fields.problem(), bad_request);
  Result<HandoverOrder> order = handover_order(*fields);
  if (!order) return problem_response(order.problem(), bad_request);
  order->report.created = now_utc();
  return with_job(service, captures, [&](ServedJob& served) {
    const std::shared_ptr<ServedJob> job = served.shared_from_this();
    const Result<std::string> id = service.tasks.start(
        [job, order = *order](const std::string& folder, const Progress& progress) {
          return make(*job, order, folder, progress);
        },
        [job](const TaskLook& look) { job->hub.publish(event_text("task", task_event(look))); });
    if (!id) return problem_response(id.problem(), 503);
    return json_response("{\"task\":" + text_json(*id) + "}", 202);
  });
}

Response get_task(Service& service, const Request&, const Captures& captures) {
  const auto look = service.tasks.look(captures[0]);
  return look ? json_response(task_json(*look)) : no_such_task();
}

Response delete_task(Service& service, const Request&, const Captures& captures) {
  return service.tasks.cancel(captures[0]) ? no_content() : no_such_task();
}

Response get_task_file(Service& service, const Request&, const Captures& captures) {
  const auto look = service.tasks.look(captures[0]);
  if (!look) return no_such_task();
  if (look->file.empty())
    return problem_response(
        {{}, "a task that is " + std::string(text_of(look->state)), "one that is done", ""}, conflict);
  Result<std::string> bytes = read_file_bytes(look->file);
  if (!bytes) return problem_response(bytes.problem(), conflict);
  Response response = json_response(std::move(*bytes));
  response.type = type_of_file(look->file);
  const std::string name = std::filesystem::path(look->file).filename().string();
  response.headers.emplace_back("Content-Disposition", "attachment; filename=\"" + name + "\"");
  return response;
}

}  // namespace strandbook
