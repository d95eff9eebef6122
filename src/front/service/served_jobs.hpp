#pragma once
// The books that are served: found in folders, opened once, kept judged, watched for changes.

#include <atomic>
#include <condition_variable>
#include <deque>
#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <set>
#include <string>
#include <thread>
#include <vector>

#include "front/service/event_hub.hpp"
#include "workflow/job_map.hpp"
#include "workflow/live_job.hpp"

namespace strandbook {

/// A book under its id. `live` is null where the book cannot be opened, see `problem`.
struct ServedJob : std::enable_shared_from_this<ServedJob> {
  std::string id;
  std::string path;
  std::unique_ptr<LiveJob> live;
  std::optional<Problem> problem;
  EventHub hub;
  std::vector<MapColumn> columns;  ///< that events are written in; for the one who publishes them only
};

class ServedJobs {
 public:
  /// Paths of books and of folders of books.
  explicit ServedJobs(std::vector<std::string> paths);
  ~ServedJobs();
  ServedJobs(const ServedJobs&) = delete;
  ServedJobs& operator=(const ServedJobs&) = delete;

  bool can_create() const { return !folder_.empty(); }
  /// All jobs in order of their ids; books that appeared since are opened.
  std::vector<std::shared_ptr<ServedJob>> all();
  /// Null where there is none of this id.
  std::shared_ptr<ServedJob> find(const std::string& id);
  /// A new book in the folder that is served, named after the job. Returns its id.
  Result<std::string> create(const std::string& name);

 private:
  struct Pending {
    std::shared_ptr<ServedJob> job;
    std::set<std::uint32_t> strands;
    bool whole = false;
  };
  std::vector<std::pair<std::string, std::string>> books() const;
  std::shared_ptr<ServedJob> opened(const std::string& id, const std::string& path);
  void note(const std::string& id, const JobChange& change);
  void publish_changes();
  void watch_books();

  std::vector<std::string> paths_;
  std::string folder_;
  std::mutex opening_;  ///< a book is opened once
  std::mutex mutex_;    ///< guards what follows
  std::map<std::string, std::shared_ptr<ServedJob>> jobs_;
  std::map<std::string, Pending> pending_;
  std::condition_variable changed_;
  bool ending_ = false;
  std::thread publisher_;
  std::thread watcher_;
};

}  // namespace strandbook
