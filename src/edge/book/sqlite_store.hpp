#pragma once
// A book in one SQLite file.

#include <chrono>
#include <memory>
#include <string>

#include "edge/book/sqlite_connection.hpp"
#include "edge/book/store.hpp"

namespace strandbook {

struct SqliteOptions {
  Surroundings surroundings;
  std::chrono::milliseconds patience{10000};  ///< how long to wait while another program writes
};

/// Write-ahead log, full synchronisation at each commit. For one thread at a time.
class SqliteStore : public Store {
 public:
  /// A new, empty book; refuses a name that is taken.
  static Result<std::unique_ptr<SqliteStore>> create(const std::string& path, SqliteOptions options);
  static Result<std::unique_ptr<SqliteStore>> open(const std::string& path, SqliteOptions options);

  Result<Done> write(const std::function<Result<Done>(StoreWriter&)>& work) override;
  Result<Done> read(std::span<const FactQuery> queries, const FactVisitor& visit) const override;
  Result<std::vector<Subject>> subjects() const override;
  Result<Done> read_heads(const std::optional<Uuid>& device, const HeadVisitor& visit) const override;
  Result<std::optional<std::string>> file(const Sha256& name) const override;
  Result<Done> read_files(const FileVisitor& visit) const override;
  Result<StoreCounts> counts() const override;
  Result<Done> check_container() const override;
  Result<std::int64_t> outside_version() const override;
  Result<std::int64_t> chained_facts() const override;
  Result<Uuid> book_id() const override;
  std::string place() const override { return connection_.path(); }

 private:
  const Surroundings& surroundings() const override { return options_.surroundings; }
  SqliteStore(SqliteConnection connection, SqliteOptions options)
      : connection_(std::move(connection)), options_(std::move(options)) {}
  Result<Done> read_one(const FactQuery& query, const FactVisitor& visit) const;

  SqliteConnection connection_;
  SqliteOptions options_;
};

}  // namespace strandbook
