// Facts of other crews, carried in and out.

#include <unistd.h>

#include <filesystem>

#include "edge/exchange/output_file.hpp"
#include "front/service/api.hpp"
#include "front/service/random_text.hpp"
#include "workflow/share_book.hpp"

namespace strandbook {
namespace {

/// What was sent, as a file while it is taken in.
class SentFile {
 public:
  SentFile()
      : path_((std::filesystem::temp_directory_path() /
               ("strandbook-carry-" + random_text("0123456789abcdef", 16)))
                  .string()) {}
  SentFile(const SentFile&) = delete;
  SentFile& operator=(const SentFile&) = delete;
  ~SentFile() { ::unlink(path_.c_str()); }
  const std::string& path() const { return path_; }

 private:
  std::string path_;
};

/// Problems name the file under its passing name, which tells nobody anything.
Problem about_what_was_sent(Problem problem) {
  problem.at.file = "carry-file";
  return problem;
}

std::string merged_json(const Merged& merged, std::uint64_t revision) {
  std::string out;
  JsonMembers members(out);
  members.count("new_facts", merged.taken.facts);
  members.count("known_facts", merged.taken.already);
  members.name("refused");
  append_json_list(out, merged.taken.refused,
                   [&](const Problem& each) { out += problem_json(about_what_was_sent(each)); });
  members.name("read_by_several");
  append_json_list(out, merged.read_by_several,
                   [&](const std::string& each) { append_json_text(out, each); });
  members.name("planned_differently");
  append_json_list(out, merged.planned_differently, [&](const Problem& each) { out += problem_json(each); });
  members.count("revision", revision);
  members.end();
  return out;
}

}  // namespace

Response post_merge(Service& service, const Request& request, const Captures& captures) {
  return with_job(service, captures, [&](ServedJob& job) {
    // Only a carry-file: another kind of file could be a book that names files of this computer.
    if (!request.body.starts_with("\x1f\x8b"))
      return problem_response({{"carry-file", {}, 0, {}},
                               "a file that is no carry-file",
                               "a carry-file of this form",
                               "See that this is the file you mean."},
                              bad_request);
    const SentFile sent;
    if (const Result<Done> kept = write_file(sent.path(), request.body); !kept)
      return problem_response(kept.problem(), conflict);
    const Result<Merged> merged = job.live->merge(sent.path());
    if (!merged) return problem_response(about_what_was_sent(merged.problem()), bad_request);
    return json_response(merged_json(*merged, revision_of(job)));
  });
}

Response get_ends(Service& service, const Request&, const Captures& captures) {
  return with_job(service, captures, [](ServedJob& job) {
    const Result<OpenBook> book = job.live->opened_again();
    if (!book) return problem_response(book.problem(), conflict);
    const Result<std::vector<Head>> ends = ends_of(*book->store);
    if (!ends) return problem_response(ends.problem(), conflict);
    Response response = json_response(heads_text(*ends));
    response.type = "text/plain; charset=utf-8";
    return response;
  });
}

Response post_carry(Service& service, const Request& request, const Captures& captures) {
  Result<FieldsIn> fields = FieldsIn::parse(request);
  if (!fields) return problem_response(fields.problem(), bad_request);
  const std::string ends = fields->text("ends", 1U << 20U).value_or("");
  if (const Result<Done> done = fields->check(); !done) return problem_response(done.problem(), bad_request);
  return with_job(service, captures, [&](ServedJob& served) {
    const std::shared_ptr<ServedJob> job = served.shared_from_this();
    const Result<std::string> id = service.tasks.start(
        [job, ends](const std::string& folder, const Progress&) -> Result<std::string> {
          const Result<OpenBook> book = job->live->opened_again();
          if (!book) return book.problem();
          const std::string ends_file = ends.empty() ? std::string{} : folder + "/ends";
          if (!ends.empty())
            if (const Result<Done> kept = write_file(ends_file, ends); !kept) return kept.problem();
          std::string path = folder + "/facts.carry";
          const Result<Carried> carried = carry_out(*book, ends_file, path);
          if (!carried) return carried.problem();
          return path;
        },
        [job](const TaskLook& look) { job->hub.publish(event_text("task", task_event(look))); });
    if (!id) return problem_response(id.problem(), 503);
    return json_response("{\"task\":" + text_json(*id) + "}", 202);
  });
}

}  // namespace strandbook
