// Making a new book and opening one that is there.

#include <unistd.h>

#include <filesystem>

#include "edge/book/placing.hpp"
#include "edge/book/sqlite_schema.hpp"
#include "edge/book/sqlite_store.hpp"

namespace strandbook {
namespace {

constexpr const char* settings_sql =
    "PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON; "
    "PRAGMA recursive_triggers = ON; PRAGMA cache_size = -16384; PRAGMA temp_store = MEMORY";

Problem no_such_book(const std::string& path) {
  return {{path, {}, 0, {}}, "no such file", "a book", "See that the name is right, or make a new book."};
}

Problem taken(const std::string& path) {
  return {{path, {}, 0, {}},
          "a file of that name",
          "a name that is free, for the new book",
          "Open that book, or choose another name. Nothing was changed."};
}

Problem cut_off(const std::string& path, std::uintmax_t size, std::uintmax_t wanted) {
  return {{path, {}, 0, {}},
          "a book cut off after " + std::to_string(size) + " bytes",
          std::to_string(wanted) + " bytes",
          "Copy it again from where it came, or work on with the last backup."};
}

/// SQLite notices missing pages only where it needs them. What still stands in the log counts as there.
Result<Done> check_whole(const SqliteConnection& connection) {
  std::error_code error;
  const std::string& path = connection.path();
  const std::uintmax_t log = std::filesystem::file_size(path + "-wal", error);
  if (!error && log > 0) return Done{};
  const Result<std::int64_t> pages = connection.integer("PRAGMA page_count");
  if (!pages) return pages.problem();
  const Result<std::int64_t> page_size = connection.integer("PRAGMA page_size");
  if (!page_size) return page_size.problem();
  const std::uintmax_t size = std::filesystem::file_size(path, error);
  const auto wanted = static_cast<std::uintmax_t>(*pages * *page_size);
  if (error || size >= wanted) return Done{};
  return cut_off(path, size, wanted);
}

/// A whole empty book under a passing name; nobody sees it before it is whole.
Result<Done> make_book(const std::string& path, std::chrono::milliseconds patience) {
  std::error_code ignored;
  std::filesystem::remove(path, ignored);
  Result<SqliteConnection> connection =
      SqliteConnection::open(path, SqliteConnection::Mode::create, patience);
  if (!connection) return connection.problem();
  const Result<Done> set = connection->run(settings_sql);
  if (!set) return set.problem();
  return create_schema(*connection);
}

void remove_traces(const std::string& path) {
  std::error_code ignored;
  for (const char* end : {"", "-wal", "-shm", "-journal"}) std::filesystem::remove(path + end, ignored);
}

Problem about(Problem problem, const std::string& path) {
  problem.at.file = path;
  return problem;
}

}  // namespace

Result<std::unique_ptr<SqliteStore>> SqliteStore::create(const std::string& path, SqliteOptions options) {
  if (path.empty()) return Problem{{}, "no name for the book", "the path of a new book", "Name the file."};
  std::error_code error;
  if (std::filesystem::exists(path, error)) return taken(path);
  const std::string temporary = path + ".part" + std::to_string(::getpid());
  const Result<Done> made = make_book(temporary, options.patience);
  if (!made) {
    remove_traces(temporary);
    return about(made.problem(), path);
  }
  const Result<Placed> placed = place_file(temporary, path);
  remove_traces(temporary);
  if (!placed) return placed.problem();
  if (*placed == Placed::name_taken) return taken(path);
  return open(path, std::move(options));
}

Result<std::unique_ptr<SqliteStore>> SqliteStore::open(const std::string& path, SqliteOptions options) {
  std::error_code error;
  if (!std::filesystem::exists(path, error)) return no_such_book(path);
  Result<SqliteConnection> connection =
      SqliteConnection::open(path, SqliteConnection::Mode::open_existing, options.patience);
  if (!connection) return connection.problem();
  // Checked before any setting is made: a file that is not ours stays untouched.
  const Result<Done> checked = check_schema(*connection);
  if (!checked) return checked.problem();
  const Result<Done> whole = check_whole(*connection);
  if (!whole) return whole.problem();
  const Result<Done> set = connection->run(settings_sql);
  if (!set) return set.problem();
  return std::unique_ptr<SqliteStore>(new SqliteStore(std::move(*connection), std::move(options)));
}

}  // namespace strandbook
