#include "front/service/staged_imports.hpp"

#include <algorithm>

#include "edge/book/device.hpp"

namespace strandbook {
namespace {

constexpr std::size_t most_staged = 20;
constexpr std::size_t most_bytes = 1ULL << 30;

}  // namespace

std::string_view text_of(ImportState state) {
  switch (state) {
    case ImportState::reading:
      return "reading";
    case ImportState::ready:
      return "ready";
    case ImportState::failed:
      return "failed";
    case ImportState::accepted:
      return "accepted";
  }
  return {};
}

Result<std::string> StagedImports::stage(const std::shared_ptr<ServedJob>& job, StagedFile file) {
  auto staged = std::make_shared<StagedImport>();
  staged->id = text_of(random_uuid(system_surroundings().random));
  staged->job = job->id;
  staged->file = std::move(file);
  {
    const std::lock_guard lock(mutex_);
    staged_.push_back(staged);
    std::size_t bytes = 0;
    for (const auto& each : staged_) bytes += each->file.bytes->size();
    while (staged_.size() > most_staged || (bytes > most_bytes && staged_.size() > 1)) {
      ++staged_.front()->turn;
      bytes -= staged_.front()->file.bytes->size();
      staged_.erase(staged_.begin());
    }
  }
  read(job, staged);
  return staged->id;
}

/// Understands the file on a thread of its own. Work that was overtaken by another turn leaves no trace.
void StagedImports::read(const std::shared_ptr<ServedJob>& job, const std::shared_ptr<StagedImport>& staged) {
  const std::uint32_t turn = ++staged->turn;
  StagedFile file;
  {
    const std::lock_guard lock(staged->mutex);
    staged->state = ImportState::reading;
    staged->progress = 0;
    staged->understood = nullptr;
    file = staged->file;
  }
  auto ended = std::make_shared<std::atomic<bool>>(false);
  std::thread thread([job, staged, turn, ended, file = std::move(file)] {
    Schedule schedule;
    if (file.purpose == ImportPurpose::readings)
      job->live->look([&](const JobView& view) { schedule = view.schedule; });
    auto understood = understand_staged(file, schedule, [&](double part) {
      const std::lock_guard lock(staged->mutex);
      if (staged->turn == turn) staged->progress = part;
      return staged->turn == turn;
    });
    const std::lock_guard lock(staged->mutex);
    if (understood && staged->turn == turn) {
      staged->progress = 1;
      staged->state = understood->error ? ImportState::failed : ImportState::ready;
      staged->understood = std::make_shared<const Understood>(std::move(*understood));
    }
    *ended = true;
  });
  const std::lock_guard lock(mutex_);
  for (Reader& reader : readers_)
    if (*reader.ended) reader.thread.join();
  std::erase_if(readers_, [](const Reader& reader) { return !reader.thread.joinable(); });
  readers_.push_back({std::move(ended), std::move(thread)});
}

std::shared_ptr<StagedImport> StagedImports::find(const std::string& job, const std::string& id) {
  const std::lock_guard lock(mutex_);
  for (const auto& each : staged_)
    if (each->id == id && each->job == job) return each;
  return nullptr;
}

Result<Done> StagedImports::choose(const std::shared_ptr<ServedJob>& job,
                                   const std::shared_ptr<StagedImport>& staged, const ImportChoices& choices,
                                   const TraceChoices& traces) {
  {
    const std::lock_guard lock(staged->mutex);
    if (staged->state == ImportState::accepted || staged->accepting)
      return Problem{{}, "an import that was accepted", "one that waits", "Send the file again."};
    staged->file.choices = choices;
    staged->file.traces = traces;
  }
  read(job, staged);
  return Done{};
}

/// Looks at it stay possible while the rows go into the book.
Result<std::string> StagedImports::accept(ServedJob& job, StagedImport& staged, const std::string& by) {
  StagedFile file;
  std::shared_ptr<const Understood> understood;
  {
    const std::lock_guard lock(staged.mutex);
    if (staged.state != ImportState::ready || staged.accepting)
      return Problem{
          {},
          "an import that is " + std::string(staged.accepting ? "being accepted" : text_of(staged.state)),
          "one that is ready",
          "See how the file was understood first."};
    staged.accepting = true;
    file = staged.file;
    understood = staged.understood;
  }
  Result<std::string> words = accept_staged(*job.live, file, *understood, by);
  const std::lock_guard lock(staged.mutex);
  staged.accepting = false;
  if (words) staged.state = ImportState::accepted;
  return words;
}

bool StagedImports::forget(const std::string& job, const std::string& id) {
  const std::lock_guard lock(mutex_);
  const auto at = std::find_if(staged_.begin(), staged_.end(),
                               [&](const auto& each) { return each->id == id && each->job == job; });
  if (at == staged_.end()) return false;
  ++(*at)->turn;
  staged_.erase(at);
  return true;
}

void StagedImports::stop() {
  std::vector<Reader> readers;
  {
    const std::lock_guard lock(mutex_);
    for (const auto& each : staged_) ++each->turn;
    readers.swap(readers_);
  }
  for (Reader& reader : readers) reader.thread.join();
}

}  // namespace strandbook
