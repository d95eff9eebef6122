#pragma once
// The site: safety first, then the interface of docs/openapi.json, then the screens' files.

#include <string>
#include <vector>

#include "front/service/guard.hpp"
#include "front/service/http.hpp"
#include "front/service/rate_limit.hpp"
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
  Response handle(Request& request) override;
  Response refusal(int status, std::string_view words) const override;
  /// Ends long work, so that the program can stop.
  void stop();
  bool shared() const { return pairing_ != nullptr; }
  /// Null where only this computer may reach the site.
  People* people() const { return pairing_ == nullptr ? nullptr : &pairing_->people(); }

  ServedJobs jobs;
  Tasks tasks;
  StagedImports imports;

 private:
  Response answered(Request& request);
  Response api(const Request& request);
  std::optional<Response> turned_away(Request& request);
  Pairing* pairing_;
  RateLimit rate_;
  std::string web_folder_;
};

}  // namespace strandbook
