// Any bytes as a request to the service: the first byte chooses the path, what follows up to a line feed goes
// into its query, the rest is the body. Every answer has a status of the document and JSON that can be read
// back; nothing crashes.

#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <string>

#include "front/service/api.hpp"
#include "front/service/http_text.hpp"
#include "workflow/keep_book.hpp"

namespace {

using namespace strandbook;

/// A folder in memory with one book of a small job, begun anew after a while: what is fuzzed adds to it.
class FuzzedJobs {
 public:
  FuzzedJobs() {
    ::setenv("STRANDBOOK_DEVICE", (folder_ + "/device").c_str(), 1);
    ::setenv("XDG_STATE_HOME", folder_.c_str(), 1);
    ::setenv("STRANDBOOK_INSTRUMENTS", (folder_ + "/meters.json").c_str(), 1);
    ::setenv("STRANDBOOK_RULES", STRANDBOOK_ROOT "/rules", 1);
    begin();
  }
  Service& service() {
    constexpr int requests_of_a_book = 2000;
    if (++requests_ % requests_of_a_book == 0) begin();
    return *service_;
  }

 private:
  void begin() {
    if (service_) service_->stop();
    service_.reset();
    std::filesystem::remove_all(folder_);
    std::filesystem::create_directories(folder_ + "/jobs");
    Result<OpenBook> book = create_book(folder_ + "/jobs/job.book", "Fuzz");
    if (!book) std::abort();
    Schedule schedule(2);
    for (std::size_t i = 0; i < schedule.size(); ++i) {
      schedule[i].link = "A";
      schedule[i].strand = std::to_string(i + 1);
      schedule[i].fixed_limit = Decibels{1};
    }
    if (!add_rows(*book->store, book->device, {.strands = schedule})) std::abort();
    service_ = std::make_unique<Service>(std::vector<std::string>{folder_ + "/jobs"}, nullptr);
  }

  const std::string folder_ = "/dev/shm/strandbook-fuzz-api-" + std::to_string(::getpid());
  std::unique_ptr<Service> service_;
  int requests_ = 0;
};

bool is_documented(int status) {
  for (const int each : {200, 201, 202, 204, 400, 403, 404, 405, 409, 422, 429, 503})
    if (status == each) return true;
  return false;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static FuzzedJobs jobs;
  if (size == 0) return 0;
  const Route& route = api_routes()[data[0] % api_routes().size()];
  // A meter is another machine, and a report takes a second.
  if (route.handler == post_instrument_read || route.handler == post_handover || route.handler == get_events)
    return 0;
  const std::string_view rest(reinterpret_cast<const char*>(data + 1), size - 1);
  const std::size_t line = std::min(rest.find('\n'), rest.size());
  std::string path = route.pattern;
  for (std::size_t at = 0; (at = path.find("{job}")) != std::string::npos;) path.replace(at, 5, "job");
  for (std::size_t at = 0; (at = path.find('{')) != std::string::npos;)
    path.replace(at, path.find('}') - at + 1, "1");
  Request request;
  request.method = route.method;
  take_target(request, path + "?" + std::string(rest.substr(0, line)));
  request.headers["host"] = "127.0.0.1:1";
  request.body = rest.substr(std::min(line + 1, rest.size()));
  const Response response = jobs.service().handle(request);
  if (!is_documented(response.status)) std::abort();
  if (response.type == "application/json" && !response.body->empty() &&
      !nlohmann::json::accept(*response.body))
    std::abort();
  return 0;
}
