#pragma once
// The site: safety first, then the interface of docs/openapi.json, then the screens' files.

#include <string>
#include <vector>

#include "front/service/guard.hpp"
#include "front/service/http.hpp"
#include "front/service/served_jobs.hpp"
#include "front/service/sharing.hpp"
#include "front/service/staged_imports.hpp"
#include "front/service/tasks.hpp"

namespace strandbook {

/// docs/openapi.json, taken in when the program was built.
extern const char* const openapi_document;

class Service : public Site {
 public:
  /// `pairing`: null where only this computer may reach the site.
  Service(std::vector<std::string> paths, Pairing* pairing);

  Lane lane_of(const Request& request) const override;
  std::uint64_t body_limit(const Request& request) const override;
  Response handle(const Request& request) override;
  Response refusal(int status, std::string_view words) const override;
  /// Ends long work, so that the program can stop.
  void stop();
  bool shared() const { return pairing_ != nullptr; }

  ServedJobs jobs;
  Tasks tasks;
  StagedImports imports;

 private:
  Response answered(const Request& request);
  Response api(const Request& request);
  Pairing* pairing_;
  std::string web_folder_;
};

}  // namespace strandbook
