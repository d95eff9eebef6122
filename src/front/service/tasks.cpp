#include "front/service/tasks.hpp"

#include <stdlib.h>

#include <algorithm>
#include <filesystem>

#include "edge/book/device.hpp"
#include "edge/book/uuid.hpp"

namespace strandbook {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t most_running = 4;
constexpr std::size_t most_kept = 20;

std::string scratch_folder() {
  std::error_code error;
  std::string name = (fs::temp_directory_path(error) / "strandbook-XXXXXX").string();
  return ::mkdtemp(name.data()) == nullptr ? std::string{} : name;
}

}  // namespace

std::string_view text_of(TaskState state) {
  switch (state) {
    case TaskState::running:
      return "running";
    case TaskState::done:
      return "done";
    case TaskState::failed:
      return "failed";
    case TaskState::cancelled:
      return "cancelled";
  }
  return {};
}

struct Tasks::Task {
  std::mutex mutex;
  TaskLook look;
  std::atomic<bool> cancelled{false};
  std::string folder;
  Work work;
  Teller tell;
  std::thread thread;
};

Tasks::Tasks() : folder_(scratch_folder()) {}

Tasks::~Tasks() {
  stop();
  std::error_code error;
  if (!folder_.empty()) fs::remove_all(folder_, error);
}

Result<std::string> Tasks::start(Work work, Teller tell) {
  const std::lock_guard lock(mutex_);
  forget_old();
  const auto running = std::count_if(tasks_.begin(), tasks_.end(), [](const auto& each) {
    const std::lock_guard one(each.second->mutex);
    return each.second->look.state == TaskState::running;
  });
  if (running >= static_cast<std::ptrdiff_t>(most_running) || folder_.empty())
    return Problem{
        {}, "several reports being made", "one at a time", "Wait until one is ready, or cancel it."};
  auto task = std::make_shared<Task>();
  task->look.id = text_of(random_uuid(system_surroundings().random));
  task->folder = folder_ + "/" + task->look.id;
  task->work = std::move(work);
  task->tell = std::move(tell);
  tasks_[task->look.id] = task;
  task->thread = std::thread([this, task] { run(task); });
  return task->look.id;
}

/// Kept results take room: the oldest ones go. UUIDs do not rise with time, hence the files' own.
void Tasks::forget_old() {
  std::vector<std::pair<fs::file_time_type, std::string>> done;
  std::error_code error;
  for (const auto& [id, task] : tasks_) {
    const std::lock_guard one(task->mutex);
    if (task->look.state != TaskState::running)
      done.emplace_back(fs::last_write_time(task->folder, error), id);
  }
  std::sort(done.begin(), done.end());
  for (std::size_t i = 0; i + most_kept < done.size(); ++i) {
    const std::shared_ptr<Task> old = tasks_[done[i].second];
    if (old->thread.joinable()) old->thread.join();
    fs::remove_all(old->folder, error);
    tasks_.erase(done[i].second);
  }
}

void Tasks::run(const std::shared_ptr<Task>& task) {
  std::error_code error;
  fs::create_directories(task->folder, error);
  const auto tell = [&] {
    TaskLook look;
    {
      const std::lock_guard lock(task->mutex);
      look = task->look;
    }
    task->tell(look);
  };
  const Progress progress = [&](double part) {
    {
      const std::lock_guard lock(task->mutex);
      task->look.progress = std::clamp(part, 0.0, 1.0);
    }
    tell();
    return !task->cancelled;
  };
  const Result<std::string> made = task->work(task->folder, progress);
  {
    const std::lock_guard lock(task->mutex);
    TaskLook& look = task->look;
    look.state = task->cancelled ? TaskState::cancelled : made ? TaskState::done : TaskState::failed;
    if (look.state == TaskState::done) {
      look.progress = 1;
      look.file = *made;
    }
    if (look.state == TaskState::failed) look.error = made.problem();
  }
  if (task->cancelled) fs::remove_all(task->folder, error);
  tell();
}

std::optional<TaskLook> Tasks::look(const std::string& id) {
  const std::lock_guard lock(mutex_);
  const auto task = tasks_.find(id);
  if (task == tasks_.end()) return std::nullopt;
  const std::lock_guard one(task->second->mutex);
  return task->second->look;
}

bool Tasks::cancel(const std::string& id) {
  const std::lock_guard lock(mutex_);
  const auto task = tasks_.find(id);
  if (task == tasks_.end()) return false;
  task->second->cancelled = true;
  return true;
}

void Tasks::stop() {
  std::map<std::string, std::shared_ptr<Task>> all;
  {
    const std::lock_guard lock(mutex_);
    all = tasks_;
  }
  for (const auto& [id, task] : all) task->cancelled = true;
  for (const auto& [id, task] : all)
    if (task->thread.joinable()) task->thread.join();
}

}  // namespace strandbook
