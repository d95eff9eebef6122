// bench-book-rival BOOK RIVAL: the rows of a finished book, bodies and hashes ready in memory, into plain
// SQLite: one transaction, the same columns, keys, indexes and settings, no guards and no checks. Prints the
// seconds of the inserts alone: what a book cannot be faster than without inserting less.

#include <sqlite3.h>

#include <chrono>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace {

constexpr const char* settings =
    "PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; PRAGMA cache_size = -16384;";
constexpr const char* schema = R"sql(
CREATE TABLE devices (row INTEGER PRIMARY KEY, id BLOB UNIQUE);
CREATE TABLE subjects (row INTEGER PRIMARY KEY, link TEXT, strand TEXT, UNIQUE (link, strand));
CREATE TABLE files (row INTEGER PRIMARY KEY, sha256 BLOB UNIQUE, bytes BLOB);
CREATE TABLE heads (row INTEGER PRIMARY KEY, device INTEGER, sequence INTEGER, hash BLOB, signature BLOB,
  UNIQUE (device, sequence));
CREATE TABLE facts (row INTEGER PRIMARY KEY, id BLOB UNIQUE, device INTEGER, sequence INTEGER, time_ms INTEGER,
  kind TEXT, subject INTEGER, target BLOB, body TEXT, previous BLOB, hash BLOB, UNIQUE (device, sequence));
CREATE INDEX facts_by_kind ON facts (kind) WHERE kind <> 'reading';
CREATE INDEX facts_by_subject ON facts (subject) WHERE subject IS NOT NULL;
CREATE INDEX facts_by_target ON facts (target) WHERE target IS NOT NULL;
)sql";
constexpr const char* tables[] = {"devices", "subjects", "files", "heads", "facts"};

void must(bool right, sqlite3* database) {
  if (right) return;
  std::fprintf(stderr, "%s\n", sqlite3_errmsg(database));
  std::exit(1);
}

sqlite3* open(const char* path) {
  sqlite3* database = nullptr;
  must(sqlite3_open_v2(path, &database, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE | SQLITE_OPEN_NOMUTEX,
                       nullptr) == SQLITE_OK,
       database);
  return database;
}

void run(sqlite3* database, const char* sql) {
  must(sqlite3_exec(database, sql, nullptr, nullptr, nullptr) == SQLITE_OK, database);
}

sqlite3_stmt* prepare(sqlite3* database, const std::string& sql) {
  sqlite3_stmt* statement = nullptr;
  must(sqlite3_prepare_v2(database, sql.c_str(), -1, &statement, nullptr) == SQLITE_OK, database);
  return statement;
}

/// A cell: a number, or where its bytes stand.
struct Cell {
  int type = SQLITE_NULL;
  std::int64_t number = 0;
  int size = 0;
};

struct Rows {
  std::vector<Cell> cells;
  std::string bytes;
  int columns = 0;
};

Rows read(sqlite3* database, const std::string& table) {
  Rows rows;
  sqlite3_stmt* select = prepare(database, "SELECT * FROM " + table + " ORDER BY row");
  rows.columns = sqlite3_column_count(select);
  while (sqlite3_step(select) == SQLITE_ROW)
    for (int column = 0; column < rows.columns; ++column) {
      Cell cell{sqlite3_column_type(select, column), sqlite3_column_int64(select, column), 0};
      if (cell.type == SQLITE_TEXT || cell.type == SQLITE_BLOB) {
        const auto* at = static_cast<const char*>(sqlite3_column_blob(select, column));
        cell.number = static_cast<std::int64_t>(rows.bytes.size());
        cell.size = sqlite3_column_bytes(select, column);
        rows.bytes += std::string_view(at, static_cast<std::size_t>(cell.size));
      }
      rows.cells.push_back(cell);
    }
  sqlite3_finalize(select);
  return rows;
}

void bind(sqlite3_stmt* insert, int parameter, const Cell& cell, const char* bytes) {
  if (cell.type == SQLITE_INTEGER)
    sqlite3_bind_int64(insert, parameter, cell.number);
  else if (cell.type == SQLITE_TEXT)
    sqlite3_bind_text(insert, parameter, bytes + cell.number, cell.size, SQLITE_STATIC);
  else if (cell.type == SQLITE_BLOB)
    sqlite3_bind_blob(insert, parameter, bytes + cell.number, cell.size, SQLITE_STATIC);
  else
    sqlite3_bind_null(insert, parameter);
}

void insert_all(sqlite3* database, const std::string& table, const Rows& rows) {
  std::string sql = "INSERT INTO " + table + " VALUES (?";
  for (int column = 1; column < rows.columns; ++column) sql += ", ?";
  sqlite3_stmt* insert = prepare(database, sql + ")");
  int column = 0;
  for (const Cell& cell : rows.cells) {
    bind(insert, ++column, cell, rows.bytes.data());
    if (column < rows.columns) continue;
    must(sqlite3_step(insert) == SQLITE_DONE, database);
    sqlite3_reset(insert);
    column = 0;
  }
  sqlite3_finalize(insert);
}

}  // namespace

int main(int count, char** arguments) {
  if (count != 3) return 2;
  std::vector<Rows> all;
  sqlite3* book = open(arguments[1]);
  for (const char* table : tables) all.push_back(read(book, table));
  sqlite3_close(book);
  for (const char* end : {"", "-wal", "-shm"}) std::filesystem::remove(std::string(arguments[2]) + end);
  sqlite3* rival = open(arguments[2]);
  run(rival, settings);
  run(rival, schema);
  const auto started = std::chrono::steady_clock::now();
  const std::clock_t cpu = std::clock();
  run(rival, "BEGIN");
  for (std::size_t i = 0; i < all.size(); ++i) insert_all(rival, tables[i], all[i]);
  run(rival, "COMMIT");
  sqlite3_close(rival);
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - started;
  std::printf("seconds=%.3f cpu=%.3f\n", took.count(),
              static_cast<double>(std::clock() - cpu) / CLOCKS_PER_SEC);
}
