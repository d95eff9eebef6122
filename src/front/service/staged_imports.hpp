#pragma once
// Files that were sent and wait to be accepted: understood in the background, forgotten when old.

#include <atomic>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <thread>
#include <vector>

#include "front/service/served_jobs.hpp"
#include "workflow/stage_import.hpp"

namespace strandbook {

enum class ImportState { reading, ready, failed, accepted };
std::string_view text_of(ImportState state);

/// One staged file. Guarded by its mutex; `understood` does not change while the state is ready or accepted.
struct StagedImport {
  std::string id;
  std::string job;
  std::mutex mutex;
  StagedFile file;
  ImportState state = ImportState::reading;
  bool accepting = false;  ///< its rows are going into the book
  double progress = 0;
  std::shared_ptr<const Understood> understood;  ///< null while it is being read
  std::atomic<std::uint32_t> turn{0};  ///< rises when it is read again or forgotten: older work ends
};

class StagedImports {
 public:
  ~StagedImports() { stop(); }

  Result<std::string> stage(const std::shared_ptr<ServedJob>& job, StagedFile file);
  /// Null where there is none of this id in this job.
  std::shared_ptr<StagedImport> find(const std::string& job, const std::string& id);
  /// Reads it again in another way. Fails where it was accepted.
  Result<Done> choose(const std::shared_ptr<ServedJob>& job, const std::shared_ptr<StagedImport>& staged,
                      const ImportChoices& choices, const TraceChoices& traces);
  Result<std::string> accept(ServedJob& job, StagedImport& staged, const std::string& by);
  bool forget(const std::string& job, const std::string& id);
  void stop();

 private:
  struct Reader {
    std::shared_ptr<std::atomic<bool>> ended;
    std::thread thread;
  };
  void read(const std::shared_ptr<ServedJob>& job, const std::shared_ptr<StagedImport>& staged);
  std::mutex mutex_;
  std::vector<std::shared_ptr<StagedImport>> staged_;  ///< oldest first
  std::vector<Reader> readers_;
};

}  // namespace strandbook
