#include "edge/book/postgres_connection.hpp"

#include <algorithm>
#include <array>

namespace strandbook {
namespace {

std::string_view as_chars(std::span<const std::uint8_t> bytes) {
  return {reinterpret_cast<const char*>(bytes.data()), bytes.size()};
}

/// Its message without the line ends.
std::string words_of(const char* message) {
  std::string words = message == nullptr ? "" : message;
  std::replace(words.begin(), words.end(), '\n', ' ');
  while (words.ends_with(' ')) words.pop_back();
  return words;
}

std::string place_of(const PGconn* connection) {
  const auto part = [](const char* text) { return std::string(text == nullptr ? "" : text); };
  return "postgresql://" + part(PQhost(connection)) + ":" + part(PQport(connection)) + "/" +
         part(PQdb(connection));
}

}  // namespace

PostgresValue pg(std::int64_t number) { return {std::to_string(number)}; }
PostgresValue pg(std::string_view text) { return {std::string(text)}; }
PostgresValue pg_bytes(std::string_view bytes) { return {std::string(bytes), true}; }
PostgresValue pg_bytes(std::span<const std::uint8_t> bytes) { return pg_bytes(as_chars(bytes)); }

std::string_view PostgresRows::bytes(int row, int column) const {
  return {PQgetvalue(result_.get(), row, column),
          static_cast<std::size_t>(PQgetlength(result_.get(), row, column))};
}

std::int64_t PostgresRows::integer(int row, int column) const {
  std::uint64_t number = 0;
  for (const char byte : bytes(row, column)) number = number << 8U | static_cast<unsigned char>(byte);
  return static_cast<std::int64_t>(number);
}

Result<PostgresConnection> PostgresConnection::open(const std::string& uri) {
  PostgresConnection connection(PQconnectdb(uri.c_str()), "postgresql");
  if (PQstatus(connection.connection_.get()) != CONNECTION_OK)
    return Problem{{"postgresql", {}, 0, {}},
                   words_of(PQerrorMessage(connection.connection_.get())),
                   "a database that answers",
                   "See that the address, the name and the password are right and the database is up."};
  PQsetNoticeProcessor(
      connection.connection_.get(), [](void*, const char*) {}, nullptr);
  connection.place_ = place_of(connection.connection_.get());
  return connection;
}

Problem PostgresConnection::problem(const PGresult* result) const {
  const char* state = result == nullptr ? nullptr : PQresultErrorField(result, PG_DIAG_SQLSTATE);
  const std::string code = state == nullptr ? "" : state;
  const std::string found =
      words_of(result == nullptr ? PQerrorMessage(connection_.get()) : PQresultErrorMessage(result));
  if (PQstatus(connection_.get()) != CONNECTION_OK)
    return {
        {place_, {}, 0, {}},
        "the connection was lost (" + found + ")",
        "a database that answers",
        "Do it again once the database is up: what was not confirmed is not in the book, or is found there."};
  if (code == "53100" || code == "58030")
    return {{place_, {}, 0, {}},
            found,
            "a disk that keeps what is written",
            "Make room on the database's disk, then do it again. Nothing was half-written."};
  return {{place_, {}, 0, {}}, found, "a database in order", "Nothing was half-written. Do it again."};
}

Result<PostgresRows> PostgresConnection::run(const char* sql,
                                             const std::vector<PostgresValue>& values) const {
  std::vector<const char*> pointers;
  std::vector<int> lengths, formats;
  for (const PostgresValue& value : values) {
    pointers.push_back(value.bytes.c_str());
    lengths.push_back(static_cast<int>(value.bytes.size()));
    formats.push_back(value.binary ? 1 : 0);
  }
  PGresult* result = PQexecParams(connection_.get(), sql, static_cast<int>(values.size()), nullptr,
                                  pointers.data(), lengths.data(), formats.data(), 1);
  PostgresRows rows(result);
  const ExecStatusType status = PQresultStatus(result);
  if (status == PGRES_TUPLES_OK || status == PGRES_COMMAND_OK) return rows;
  return problem(result);
}

Result<Done> PostgresConnection::command(const std::string& sql) const {
  PGresult* result = PQexec(connection_.get(), sql.c_str());
  const PostgresRows owner(result);
  if (PQresultStatus(result) == PGRES_COMMAND_OK || PQresultStatus(result) == PGRES_TUPLES_OK) return Done{};
  return problem(result);
}

Result<Done> PostgresConnection::copy_in(const char* sql, std::string_view content) const {
  PGresult* begun = PQexec(connection_.get(), sql);
  const PostgresRows owner(begun);
  if (PQresultStatus(begun) != PGRES_COPY_IN) return problem(begun);
  constexpr std::size_t piece = std::size_t{1} << 20U;
  for (; !content.empty(); content.remove_prefix(std::min(piece, content.size())))
    if (PQputCopyData(connection_.get(), content.data(), static_cast<int>(std::min(piece, content.size()))) !=
        1)
      return problem(nullptr);
  if (PQputCopyEnd(connection_.get(), nullptr) != 1) return problem(nullptr);
  std::optional<Problem> failed;
  while (PGresult* result = PQgetResult(connection_.get())) {
    const PostgresRows each(result);
    if (PQresultStatus(result) != PGRES_COMMAND_OK && !failed) failed = problem(result);
  }
  if (failed) return *failed;
  return Done{};
}

Result<Done> PostgresConnection::revive() const {
  if (PQstatus(connection_.get()) == CONNECTION_OK) return Done{};
  PQreset(connection_.get());
  if (PQstatus(connection_.get()) == CONNECTION_OK) return Done{};
  return problem(nullptr);
}

Result<PostgresTransaction> PostgresTransaction::begin(const PostgresConnection& connection,
                                                       const char* kind) {
  if (const Result<Done> alive = connection.revive(); !alive) return alive.problem();
  const Result<Done> begun = connection.command(kind);
  if (!begun) return begun.problem();
  return PostgresTransaction(connection);
}

PostgresTransaction::~PostgresTransaction() {
  if (connection_ != nullptr) (void)connection_->command("ROLLBACK");
}

Result<Done> PostgresTransaction::commit() { return std::exchange(connection_, nullptr)->command("COMMIT"); }

}  // namespace strandbook
