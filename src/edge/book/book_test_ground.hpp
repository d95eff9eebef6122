#pragma once
// What the tests of the book share: a folder that is removed again, a clock and ids that repeat.

#include <gtest/gtest.h>
#include <unistd.h>

#include <atomic>
#include <filesystem>
#include <memory>
#include <string>
#include <utility>

#include "edge/book/sqlite_store.hpp"

namespace strandbook {

class TestFolder {
 public:
  TestFolder() {
    static std::atomic<int> number = 0;
    path_ = parent() / ("strandbook-book-" + std::to_string(::getpid()) + "-" + std::to_string(number++));
    std::filesystem::create_directories(path_);
  }
  TestFolder(const TestFolder&) = delete;
  TestFolder& operator=(const TestFolder&) = delete;
  ~TestFolder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  std::string file(const std::string& name) const { return (path_ / name).string(); }
  std::size_t entries() const {
    return static_cast<std::size_t>(std::distance(std::filesystem::directory_iterator(path_), {}));
  }

 private:
  /// Memory where there is a file system in it: what is tested is what a killed program leaves, and thousands
  /// of commits to a busy disk would take minutes.
  static std::filesystem::path parent() {
    const std::filesystem::path memory = "/dev/shm";
    return ::access(memory.c_str(), W_OK) == 0 ? memory : std::filesystem::temp_directory_path();
  }
  std::filesystem::path path_;
};

/// A clock that moves on by a second at each look, and numbers that look random but repeat.
inline Surroundings steady_surroundings(std::int64_t start_ms = 1775393520000) {
  auto now = std::make_shared<std::int64_t>(start_ms);
  auto state = std::make_shared<std::uint64_t>(start_ms);
  return {[now] { return *now += 1000; },
          [state] { return *state = *state * 6364136223846793005ULL + 1442695040888963407ULL; }};
}

inline Device test_device(std::uint8_t number = 1) {
  Device device;
  device.id.bytes[15] = number;
  return device;
}

inline std::unique_ptr<SqliteStore> new_book(const std::string& path) {
  Result<std::unique_ptr<SqliteStore>> store = SqliteStore::create(path, {steady_surroundings()});
  if (!store) ADD_FAILURE() << describe(store.problem());
  return store ? std::move(*store) : nullptr;
}

inline std::unique_ptr<SqliteStore> reopened(const std::string& path) {
  Result<std::unique_ptr<SqliteStore>> store = SqliteStore::open(path, {system_surroundings()});
  if (!store) ADD_FAILURE() << describe(store.problem());
  return store ? std::move(*store) : nullptr;
}

/// A note, small and valid.
inline FactDraft note_draft(const std::string& text) {
  return {FactKind::note, "{\"text\":\"" + text + "\"}", {}, {}};
}

/// One fact, and files to keep with it.
inline Batch batch_of(FactDraft draft, std::vector<FileToKeep> files) {
  auto given = std::make_shared<bool>(false);
  return {std::move(files),
          [given, draft = std::move(draft)](const Uuid&) -> Result<std::optional<FactDraft>> {
            if (std::exchange(*given, true)) return std::optional<FactDraft>{};
            return std::optional<FactDraft>{draft};
          }};
}

}  // namespace strandbook

#define EXPECT_HOLDS(result) EXPECT_TRUE(static_cast<bool>(result)) << describe((result).problem())
#define ASSERT_HOLDS(result) ASSERT_TRUE(static_cast<bool>(result)) << describe((result).problem())
