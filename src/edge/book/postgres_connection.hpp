#pragma once
// libpq, made safe: what is opened is closed, what fails is a Problem.

#include <libpq-fe.h>

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "domain/problem/problem.hpp"

namespace strandbook {

/// A value sent beside a statement.
struct PostgresValue {
  std::string bytes;
  bool binary = false;
};
PostgresValue pg(std::int64_t number);
PostgresValue pg(std::string_view text);
PostgresValue pg_bytes(std::span<const std::uint8_t> bytes);
PostgresValue pg_bytes(std::string_view bytes);

/// Rows that came back, in binary form. Rows and columns are counted from 0.
class PostgresRows {
 public:
  explicit PostgresRows(PGresult* result) : result_(result) {}
  int count() const { return PQntuples(result_.get()); }
  std::string_view bytes(int row, int column) const;
  std::int64_t integer(int row, int column) const;
  bool is_null(int row, int column) const { return PQgetisnull(result_.get(), row, column) == 1; }

 private:
  struct Clear {
    void operator()(PGresult* result) const { PQclear(result); }
  };
  std::unique_ptr<PGresult, Clear> result_;
};

/// For one thread at a time.
class PostgresConnection {
 public:
  static Result<PostgresConnection> open(const std::string& uri);

  Result<PostgresRows> run(const char* sql, const std::vector<PostgresValue>& values = {}) const;
  /// One or several statements without values and without rows.
  Result<Done> command(const std::string& sql) const;
  /// The whole content of a COPY ... FROM STDIN.
  Result<Done> copy_in(const char* sql, std::string_view content) const;
  bool in_transaction() const { return PQtransactionStatus(connection_.get()) != PQTRANS_IDLE; }
  /// Connects again where the connection was lost.
  Result<Done> revive() const;
  /// Host, port and database, without a password.
  const std::string& place() const { return place_; }

 private:
  struct Finish {
    void operator()(PGconn* connection) const { PQfinish(connection); }
  };
  PostgresConnection(PGconn* connection, std::string place)
      : connection_(connection), place_(std::move(place)) {}
  Problem problem(const PGresult* result) const;
  std::unique_ptr<PGconn, Finish> connection_;
  std::string place_;
};

/// Undone when it goes out of scope, unless committed.
class PostgresTransaction {
 public:
  static Result<PostgresTransaction> begin(const PostgresConnection& connection, const char* kind);
  PostgresTransaction(PostgresTransaction&& other) noexcept
      : connection_(std::exchange(other.connection_, nullptr)) {}
  PostgresTransaction& operator=(PostgresTransaction&&) = delete;
  ~PostgresTransaction();
  Result<Done> commit();

 private:
  explicit PostgresTransaction(const PostgresConnection& connection) : connection_(&connection) {}
  const PostgresConnection* connection_;
};

}  // namespace strandbook
