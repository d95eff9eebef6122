#pragma once
// SQLite's C interface, made safe: what is opened is closed, what fails is a Problem.

#include <sqlite3.h>

#include <algorithm>
#include <chrono>
#include <cstdint>
#include <memory>
#include <span>
#include <string>
#include <string_view>
#include <utility>

#include "domain/problem/problem.hpp"

namespace strandbook {

/// What the last failure on this connection means for the person, after SQLite's and the system's error
/// codes.
Problem sqlite_problem(sqlite3* database, int code, const std::string& path);

/// A prepared statement. Parameters are counted from 1, columns from 0.
class SqliteStatement {
 public:
  SqliteStatement(sqlite3_stmt* statement, std::string path)
      : statement_(statement), path_(std::move(path)) {}

  void bind(int parameter, std::int64_t value);
  void bind_null(int parameter);
  /// The bytes must live until the next step or reset.
  void bind_text(int parameter, std::string_view text);
  void bind_blob(int parameter, std::span<const std::uint8_t> bytes);

  enum class Step { row, end };
  /// After the end the statement may be bound and stepped again.
  Result<Step> step();
  void reset();

  std::int64_t integer(int column) const;
  /// Valid until the next step.
  std::string_view bytes(int column) const;
  bool is_null(int column) const;

 private:
  struct Finalise {
    void operator()(sqlite3_stmt* statement) const { sqlite3_finalize(statement); }
  };
  void note(int code);
  std::unique_ptr<sqlite3_stmt, Finalise> statement_;
  std::string path_;
  int bind_error_ = SQLITE_OK;
};

/// The bytes of a blob as an id or a hash.
template <class T>
T bytes_as(std::string_view blob) {
  T value;
  std::copy_n(blob.begin(), std::min(blob.size(), value.bytes.size()), value.bytes.begin());
  return value;
}

/// For one thread at a time.
class SqliteConnection {
 public:
  enum class Mode { open_existing, create };
  static Result<SqliteConnection> open(const std::string& path, Mode mode,
                                       std::chrono::milliseconds patience);

  Result<Done> run(const std::string& sql) const;
  Result<SqliteStatement> prepare(std::string_view sql) const;
  /// First column of the first row; 0 where there is none.
  Result<std::int64_t> integer(std::string_view sql) const;
  bool in_transaction() const { return sqlite3_get_autocommit(database_.get()) == 0; }
  const std::string& path() const { return path_; }

 private:
  friend class SqliteGuardsOff;
  struct Close {
    void operator()(sqlite3* database) const { sqlite3_close_v2(database); }
  };
  SqliteConnection(sqlite3* database, std::string path) : database_(database), path_(std::move(path)) {}
  std::unique_ptr<sqlite3, Close> database_;
  std::string path_;
};

/// While it stands, this connection fires no triggers and follows no foreign keys. For plain inserts only,
/// whose rows of other tables were looked up in the same transaction: those need no guard, and guards that
/// look for what an insert might replace or lack cost a third of its time.
class SqliteGuardsOff {
 public:
  explicit SqliteGuardsOff(const SqliteConnection& connection);
  SqliteGuardsOff(const SqliteGuardsOff&) = delete;
  SqliteGuardsOff& operator=(const SqliteGuardsOff&) = delete;
  ~SqliteGuardsOff();

 private:
  const SqliteConnection& connection_;
};

/// Undone when it goes out of scope, unless committed.
class SqliteTransaction {
 public:
  enum class Kind { read, write };
  static Result<SqliteTransaction> begin(const SqliteConnection& connection, Kind kind);
  SqliteTransaction(SqliteTransaction&& other) noexcept
      : connection_(std::exchange(other.connection_, nullptr)) {}
  SqliteTransaction& operator=(SqliteTransaction&&) = delete;
  ~SqliteTransaction();
  Result<Done> commit();

 private:
  explicit SqliteTransaction(const SqliteConnection& connection) : connection_(&connection) {}
  const SqliteConnection* connection_;
};

}  // namespace strandbook
