#pragma once
// Adds to a book in SQLite inside a transaction that the caller holds.

#include <map>
#include <unordered_map>

#include "edge/book/sqlite_connection.hpp"
#include "edge/book/store_writer.hpp"

namespace strandbook {

class SqliteWriter : public StoreWriter {
 public:
  /// The write transaction must have begun.
  static Result<std::unique_ptr<SqliteWriter>> begin(const SqliteConnection& connection);

  Result<ChainPlace> end_of_chain(const Uuid& device) override;
  Result<std::optional<ChainPlace>> at(const Uuid& device, std::int64_t sequence) override;
  Result<bool> holds(const Uuid& fact) override;
  Result<std::optional<Uuid>> recorded(std::string_view entry) override;
  Result<std::string> key_fact(const Uuid& device, std::int64_t up_to) override;
  Result<Done> add(const Fact& fact) override;
  Result<Done> add(const Head& head) override;
  Result<Done> keep(const FileToKeep& file) override;

 private:
  struct Statements {
    SqliteStatement insert, insert_subject, find_subject, insert_device, find_device, place, id, end, key,
        head, file, insert_entry, entry;
  };
  explicit SqliteWriter(Statements statements) : statements_(std::move(statements)) {}
  Result<std::int64_t> row_of(const Uuid& device);
  Result<std::int64_t> row_of(const Subject& subject);
  Result<std::int64_t> look_up_row_of(const Subject& subject);

  Statements statements_;
  std::map<Uuid, std::int64_t> device_rows_;
  std::unordered_map<std::string, std::int64_t> subject_rows_;
  Subject last_subject_;  ///< empty before the first; an empty subject is never looked up
  std::int64_t last_subject_row_ = 0;
};

}  // namespace strandbook
