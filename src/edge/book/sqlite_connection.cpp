#include "edge/book/sqlite_connection.hpp"

#include <cerrno>
#include <utility>

namespace strandbook {
namespace {

Problem busy(const std::string& path) {
  return {{path, {}, 0, {}},
          "a book that another program is writing to",
          "a turn to write within a few seconds",
          "Close the other program, or wait until it has done, then do it again. Nothing was half-written."};
}

Problem full(const std::string& path) {
  return {{path, {}, 0, {}},
          "no room to write, or a disk that fails",
          "room on the disk for what is added",
          "Make room on the disk, then do it again. Nothing was half-written."};
}

Problem read_only(const std::string& path) {
  return {
      {path, {}, 0, {}},
      "a book or folder that may not be written to",
      "a book in a folder that can be written to",
      "Copy the book into a folder of your own, or ask for the right to write there. Nothing was changed."};
}

Problem not_a_book(const std::string& path) {
  return {{path, {}, 0, {}},
          "a file that is not a strandbook book",
          "a book made by strandbook",
          "See that this is the file you mean."};
}

Problem damaged(const std::string& path, const std::string& words) {
  return {{path, {}, 0, {}},
          "a damaged book (" + words + ")",
          "a book that is whole",
          "Work on with the last backup. Keep the damaged file: much of it may still be read."};
}

/// A failed write is told from a failed read by SQLite's own code: by then the system's may be overwritten.
bool is_failed_write(int code) {
  return code == SQLITE_IOERR_WRITE || code == SQLITE_IOERR_TRUNCATE || code == SQLITE_IOERR_SHMSIZE ||
         code == SQLITE_IOERR_FSYNC || code == SQLITE_IOERR_DIR_FSYNC;
}

/// Without it SQLite locks at each allocation, to count what nobody asks for. Before the first connection
/// only.
void leave_memory_uncounted() {
  static const int done = sqlite3_config(SQLITE_CONFIG_MEMSTATUS, 0);
  (void)done;
}

}  // namespace

Problem sqlite_problem(sqlite3* database, int code, const std::string& path) {
  const int error = database == nullptr ? 0 : sqlite3_system_errno(database);
  const std::string words = database == nullptr ? sqlite3_errstr(code) : sqlite3_errmsg(database);
  switch (code & 0xff) {
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      return busy(path);
    case SQLITE_FULL:
      return full(path);
    case SQLITE_READONLY:
    case SQLITE_PERM:
      return read_only(path);
    case SQLITE_NOTADB:
      return not_a_book(path);
    case SQLITE_CORRUPT:
      return damaged(path, words);
    case SQLITE_IOERR:
      return is_failed_write(database == nullptr ? code : sqlite3_extended_errcode(database))
                 ? full(path)
                 : damaged(path, words);
    case SQLITE_CANTOPEN:
      return {{path, {}, 0, {}},
              error == EACCES || error == EROFS || error == EPERM ? "a place that may not be written to"
                                                                  : "no book that can be opened",
              "a book in a folder that can be written to",
              "See that the folder exists, the name is right and you may write there."};
    default:
      return {{path, {}, 0, {}}, words, "a book that can be read and written", "Nothing was half-written."};
  }
}

void SqliteStatement::note(int code) {
  if (code != SQLITE_OK && bind_error_ == SQLITE_OK) bind_error_ = code;
}

void SqliteStatement::bind(int parameter, std::int64_t value) {
  note(sqlite3_bind_int64(statement_.get(), parameter, value));
}

void SqliteStatement::bind_null(int parameter) { note(sqlite3_bind_null(statement_.get(), parameter)); }

void SqliteStatement::bind_text(int parameter, std::string_view text) {
  // A null pointer would bind NULL; the empty text is a value.
  note(sqlite3_bind_text64(statement_.get(), parameter, text.empty() ? "" : text.data(), text.size(),
                           SQLITE_STATIC, SQLITE_UTF8));
}

void SqliteStatement::bind_blob(int parameter, std::span<const std::uint8_t> bytes) {
  const void* data = bytes.empty() ? static_cast<const void*>("") : bytes.data();
  note(sqlite3_bind_blob64(statement_.get(), parameter, data, bytes.size(), SQLITE_STATIC));
}

Result<SqliteStatement::Step> SqliteStatement::step() {
  const int code = bind_error_ == SQLITE_OK ? sqlite3_step(statement_.get()) : bind_error_;
  if (code == SQLITE_ROW) return Step::row;
  if (code == SQLITE_DONE) {
    reset();
    return Step::end;
  }
  const Problem problem = sqlite_problem(sqlite3_db_handle(statement_.get()), code, path_);
  bind_error_ = SQLITE_OK;
  reset();
  return problem;
}

void SqliteStatement::reset() { (void)sqlite3_reset(statement_.get()); }

std::int64_t SqliteStatement::integer(int column) const {
  return sqlite3_column_int64(statement_.get(), column);
}

std::string_view SqliteStatement::bytes(int column) const {
  const void* data = sqlite3_column_blob(statement_.get(), column);
  const int size = sqlite3_column_bytes(statement_.get(), column);
  if (data == nullptr || size <= 0) return {};
  return {static_cast<const char*>(data), static_cast<std::size_t>(size)};
}

bool SqliteStatement::is_null(int column) const {
  return sqlite3_column_type(statement_.get(), column) == SQLITE_NULL;
}

Result<SqliteConnection> SqliteConnection::open(const std::string& path, Mode mode,
                                                std::chrono::milliseconds patience) {
  if (path.empty()) return Problem{{}, "no name for the book", "the path of a book", "Name the file."};
  leave_memory_uncounted();
  sqlite3* raw = nullptr;
  const int flags =
      SQLITE_OPEN_READWRITE | SQLITE_OPEN_NOMUTEX | (mode == Mode::create ? SQLITE_OPEN_CREATE : 0);
  // SQLite gives names that begin with a colon a meaning of its own.
  const std::string plain = path.front() == ':' ? "./" + path : path;
  const int code = sqlite3_open_v2(plain.c_str(), &raw, flags, nullptr);
  SqliteConnection connection(raw, path);
  if (code != SQLITE_OK) return sqlite_problem(raw, code, path);
  sqlite3_busy_timeout(raw, static_cast<int>(patience.count()));
  sqlite3_extended_result_codes(raw, 1);
  return connection;
}

Result<Done> SqliteConnection::run(const std::string& sql) const {
  const int code = sqlite3_exec(database_.get(), sql.c_str(), nullptr, nullptr, nullptr);
  if (code != SQLITE_OK) return sqlite_problem(database_.get(), code, path_);
  return Done{};
}

Result<SqliteStatement> SqliteConnection::prepare(std::string_view sql) const {
  sqlite3_stmt* raw = nullptr;
  const int code =
      sqlite3_prepare_v2(database_.get(), sql.data(), static_cast<int>(sql.size()), &raw, nullptr);
  if (code != SQLITE_OK) return sqlite_problem(database_.get(), code, path_);
  return SqliteStatement(raw, path_);
}

Result<std::int64_t> SqliteConnection::integer(std::string_view sql) const {
  Result<SqliteStatement> statement = prepare(sql);
  if (!statement) return statement.problem();
  const Result<SqliteStatement::Step> step = statement->step();
  if (!step) return step.problem();
  return *step == SqliteStatement::Step::row ? statement->integer(0) : std::int64_t{0};
}

SqliteGuardsOff::SqliteGuardsOff(const SqliteConnection& connection) : connection_(connection) {
  (void)sqlite3_db_config(connection_.database_.get(), SQLITE_DBCONFIG_ENABLE_TRIGGER, 0, nullptr);
  (void)sqlite3_db_config(connection_.database_.get(), SQLITE_DBCONFIG_ENABLE_FKEY, 0, nullptr);
}

SqliteGuardsOff::~SqliteGuardsOff() {
  (void)sqlite3_db_config(connection_.database_.get(), SQLITE_DBCONFIG_ENABLE_TRIGGER, 1, nullptr);
  (void)sqlite3_db_config(connection_.database_.get(), SQLITE_DBCONFIG_ENABLE_FKEY, 1, nullptr);
}

Result<SqliteTransaction> SqliteTransaction::begin(const SqliteConnection& connection, Kind kind) {
  const Result<Done> done = connection.run(kind == Kind::write ? "BEGIN IMMEDIATE" : "BEGIN");
  if (!done) return done.problem();
  return SqliteTransaction(connection);
}

SqliteTransaction::~SqliteTransaction() {
  if (connection_ != nullptr && connection_->in_transaction()) (void)connection_->run("ROLLBACK");
}

Result<Done> SqliteTransaction::commit() { return connection_->run("COMMIT"); }

}  // namespace strandbook
