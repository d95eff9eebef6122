#include "front/service/served_jobs.hpp"

#include <algorithm>
#include <chrono>
#include <filesystem>

#include "edge/book/any_store.hpp"
#include "front/service/json_out.hpp"
#include "workflow/keep_book.hpp"

namespace strandbook {
namespace {

namespace fs = std::filesystem;

constexpr auto between_looks = std::chrono::milliseconds(500);
/// People who write at once become one event for the hundreds who watch.
constexpr auto gathering = std::chrono::milliseconds(100);
constexpr std::string_view ending = ".book";

/// A file name that every system takes, after the job's name.
std::string file_stem(const std::string& name) {
  std::string stem;
  for (const char c : name) {
    const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
    if (plain || (static_cast<unsigned char>(c) >= 0x80))
      stem += c;
    else if (!stem.empty() && stem.back() != '-')
      stem += '-';
  }
  while (!stem.empty() && stem.back() == '-') stem.pop_back();
  if (stem.size() > 80) {
    std::size_t end = 80;  // a cut must not leave half a character of UTF-8
    while (end > 0 && (static_cast<unsigned char>(stem[end]) & 0xC0) == 0x80) --end;
    stem.resize(end);
  }
  return stem.empty() ? "job" : stem;
}

/// Who recorded the last reading, as far as it is known.
std::string_view last_person(const JobView& view) {
  if (view.judgement == nullptr || view.judgement->all().readings.rows.empty()) return {};
  return view.judgement->all().readings.rows.back().operator_name;
}

/// What changed as the event tells it. `columns`: as listeners know them; brought up to date.
std::string change_json(const JobView& view, const std::set<std::uint32_t>& strands, bool whole,
                        std::vector<MapColumn>& columns) {
  std::vector<MapColumn> now = view.judgement == nullptr ? std::vector<MapColumn>{} : columns;
  if (view.judgement != nullptr && (whole || !strands.empty())) now = columns_of(*view.judgement);
  const bool all = whole || now != columns;
  columns = std::move(now);
  std::string out;
  JsonMembers members(out);
  members.count("revision", view.revision);
  members.raw("summary", summary_json(summary_of(view)));
  members.truth("whole", all);
  members.name("strands");
  out += '[';
  if (!all)
    for (const std::uint32_t strand : strands) {
      if (out.back() != '[') out += ',';
      out += "{\"index\":" + std::to_string(strand) + ",\"cells\":\"" +
             letters_of(*view.judgement, columns, strand) + "\"}";
    }
  out += ']';
  members.maybe_text("by", strands.empty() ? std::string_view{} : last_person(view));
  members.end();
  return out;
}

/// "hall3" of postgresql://crew@office/hall3?options=-csearch_path%3Dnorth, with the schema behind it.
std::string name_of_database(const std::string& address) {
  const std::size_t query = address.find('?');
  std::string name = address.substr(0, query);
  name = name.substr(name.rfind('/') + 1);
  constexpr std::string_view schema = "search_path%3D";
  if (const std::size_t at = address.find(schema); at != std::string::npos)
    name += "." + address.substr(at + schema.size(), address.find('&', at) - at - schema.size());
  return name;
}

}  // namespace

ServedJobs::ServedJobs(std::vector<std::string> paths) : paths_(std::move(paths)) {
  std::error_code error;
  for (const std::string& path : paths_)
    if (folder_.empty() && fs::is_directory(path, error)) folder_ = path;
  publisher_ = std::thread([this] { publish_changes(); });
  watcher_ = std::thread([this] { watch_books(); });
}

ServedJobs::~ServedJobs() {
  {
    const std::lock_guard lock(mutex_);
    ending_ = true;
  }
  changed_.notify_all();
  publisher_.join();
  watcher_.join();
}

std::vector<std::pair<std::string, std::string>> ServedJobs::books() const {
  std::map<std::string, std::string> found;
  std::error_code error;
  const auto add = [&found](const fs::path& path) { found.try_emplace(path.stem().string(), path.string()); };
  for (const std::string& path : paths_) {
    if (is_postgres_address(path)) {
      found.try_emplace(name_of_database(path), path);
      continue;
    }
    if (!fs::is_directory(path, error)) {
      add(path);
      continue;
    }
    for (const auto& entry : fs::directory_iterator(path, error))
      if (entry.path().extension() == ending && entry.is_regular_file(error)) add(entry.path());
  }
  return {found.begin(), found.end()};
}

std::shared_ptr<ServedJob> ServedJobs::opened(const std::string& id, const std::string& path) {
  const std::lock_guard opening(opening_);
  {
    const std::lock_guard lock(mutex_);
    const auto known = jobs_.find(id);
    if (known != jobs_.end() && known->second->live) return known->second;
  }
  auto job = std::make_shared<ServedJob>();
  job->id = id;
  job->path = path;
  Result<std::unique_ptr<LiveJob>> live = LiveJob::open(path);
  if (live) {
    job->live = std::move(*live);
    job->live->look([&](const JobView& view) {
      if (view.judgement != nullptr) job->columns = columns_of(*view.judgement);
    });
    job->live->on_change([this, id](const JobChange& change) { note(id, change); });
  } else {
    job->problem = live.problem();
  }
  const std::lock_guard lock(mutex_);
  jobs_[id] = job;
  return job;
}

std::vector<std::shared_ptr<ServedJob>> ServedJobs::all() {
  std::vector<std::shared_ptr<ServedJob>> list;
  for (const auto& [id, path] : books()) list.push_back(opened(id, path));
  return list;
}

std::shared_ptr<ServedJob> ServedJobs::find(const std::string& id) {
  {
    const std::lock_guard lock(mutex_);
    const auto known = jobs_.find(id);
    if (known != jobs_.end() && known->second->live) return known->second;
  }
  for (const auto& [name, path] : books())
    if (name == id) return opened(id, path);
  return nullptr;
}

Result<std::string> ServedJobs::create(const std::string& name) {
  if (!can_create())
    return Problem{
        {}, "only single books are served", "a folder to begin books in", "Start serve with a folder."};
  const std::string stem = file_stem(name);
  std::error_code error;
  for (int attempt = 1; attempt < 1000; ++attempt) {
    const std::string id = attempt == 1 ? stem : stem + "-" + std::to_string(attempt);
    const fs::path path = fs::path(folder_) / (id + std::string(ending));
    if (fs::exists(path, error)) continue;
    const Result<OpenBook> book = create_book(path.string(), name);
    if (!book) return book.problem();
    return id;
  }
  return Problem{{}, "a thousand books of this name", "another name", ""};
}

/// Changes are gathered: a burst of them becomes one event.
void ServedJobs::note(const std::string& id, const JobChange& change) {
  {
    const std::lock_guard lock(mutex_);
    Pending& pending = pending_[id];
    if (const auto job = jobs_.find(id); job != jobs_.end()) pending.job = job->second;
    pending.whole = pending.whole || change.tests.whole;
    pending.strands.insert(change.tests.strands.begin(), change.tests.strands.end());
  }
  changed_.notify_all();
}

void ServedJobs::publish_changes() {
  std::unique_lock lock(mutex_);
  while (!ending_) {
    changed_.wait(lock, [this] { return ending_ || !pending_.empty(); });
    changed_.wait_for(lock, gathering, [this] { return ending_; });
    const std::map<std::string, Pending> pending = std::exchange(pending_, {});
    lock.unlock();
    for (const auto& entry : pending) {
      const Pending& each = entry.second;
      if (!each.job || !each.job->live) continue;
      std::string data;
      each.job->live->look([&](const JobView& view) {
        data = change_json(view, each.strands, each.whole, each.job->columns);
      });
      each.job->hub.publish(event_text("change", data));
    }
    lock.lock();
  }
}

/// What other programs write into an open book shows within half a second.
void ServedJobs::watch_books() {
  std::unique_lock lock(mutex_);
  while (!changed_.wait_for(lock, between_looks, [this] { return ending_; })) {
    std::vector<std::shared_ptr<ServedJob>> open;
    for (const auto& [id, job] : jobs_)
      if (job->live) open.push_back(job);
    lock.unlock();
    // A book that cannot be read just now is looked at again in half a second; requests tell the problem.
    for (const auto& job : open) static_cast<void>(static_cast<bool>(job->live->refresh()));
    lock.lock();
  }
}

}  // namespace strandbook
