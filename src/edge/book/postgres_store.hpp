#pragma once
// A book in a PostgreSQL database, for many writers at once.

#include <memory>
#include <string>

#include "edge/book/postgres_writer.hpp"
#include "edge/book/store.hpp"

namespace strandbook {

/// The book is the schema that the connection works in; the address may name another with
/// ?options=-csearch_path%3Dname. A connection that was lost is made again at the next call. For one thread
/// at a time.
class PostgresStore : public Store {
 public:
  static Result<std::unique_ptr<PostgresStore>> create(const std::string& address, Surroundings surroundings);
  static Result<std::unique_ptr<PostgresStore>> open(const std::string& address, Surroundings surroundings);

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
  std::string place() const override { return connection_.place(); }

 private:
  PostgresStore(PostgresConnection connection, Surroundings surroundings)
      : connection_(std::move(connection)), surroundings_(std::move(surroundings)) {}
  const Surroundings& surroundings() const override { return surroundings_; }
  Result<Done> read_one(const FactQuery& query, const FactVisitor& visit) const;
  /// Rows of a query piece by piece, while other questions are asked in between.
  Result<Done> each_row(const std::string& sql, const std::vector<PostgresValue>& values,
                        const std::function<Result<Done>(const PostgresRows&, int)>& visit) const;
  /// Runs inside a transaction that stands already, or in one of its own that sees one moment.
  Result<Done> at_one_moment(const std::function<Result<Done>()>& work) const;

  PostgresConnection connection_;
  Surroundings surroundings_;
  PostgresWriter* writer_ = nullptr;  ///< while a write runs
  std::int64_t own_writes_ = 0;
  mutable int cursors_ = 0;
};

}  // namespace strandbook
