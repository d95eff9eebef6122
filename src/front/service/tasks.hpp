#pragma once
// Long work: a handover. Started, watched, cancelled; its file is fetched when it is ready.

#include <atomic>
#include <condition_variable>
#include <functional>
#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <thread>
#include <vector>

#include "domain/problem/problem.hpp"
#include "edge/exchange/assessment_out.hpp"
#include "front/service/event_hub.hpp"

namespace strandbook {

enum class TaskState { running, done, failed, cancelled };
std::string_view text_of(TaskState state);

/// What a task says of itself.
struct TaskLook {
  std::string id;
  TaskState state = TaskState::running;
  double progress = 0;
  std::optional<Problem> error;
  std::string file;  ///< path; empty until it is done
};

class Tasks {
 public:
  /// Writes into the folder it is given; returns the path of what it made.
  using Work = std::function<Result<std::string>(const std::string& folder, const Progress& progress)>;
  using Teller = std::function<void(const TaskLook&)>;

  Tasks();
  ~Tasks();
  Tasks(const Tasks&) = delete;
  Tasks& operator=(const Tasks&) = delete;

  /// Returns the task's id. `tell` hears of each step; it is called from the task's thread. Fails where too
  /// many run.
  Result<std::string> start(Work work, Teller tell);
  std::optional<TaskLook> look(const std::string& id);
  bool cancel(const std::string& id);
  /// Cancels all and waits for them.
  void stop();

 private:
  struct Task;
  void run(const std::shared_ptr<Task>& task);
  void forget_old();
  std::mutex mutex_;
  std::map<std::string, std::shared_ptr<Task>> tasks_;
  std::string folder_;  ///< of this run of the program; removed at its end
};

}  // namespace strandbook
