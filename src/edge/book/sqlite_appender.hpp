#pragma once
// Adds facts to a book inside a transaction that the caller holds.

#include <optional>
#include <string>
#include <unordered_map>

#include "edge/book/sqlite_connection.hpp"
#include "edge/book/store.hpp"

namespace strandbook {

class SqliteAppender {
 public:
  /// Reads the end of the device's chain. The write transaction must have begun.
  static Result<SqliteAppender> begin(const SqliteConnection& connection, const Device& device,
                                      const Surroundings& surroundings);
  Result<Done> add(FactDraft draft);
  const Appended& appended() const { return appended_; }

 private:
  SqliteAppender(const SqliteConnection& connection, const Surroundings& surroundings, SqliteStatement insert,
                 SqliteStatement insert_subject, SqliteStatement find_subject);
  Result<Done> find_end_of_chain(const Device& device);
  Result<std::int64_t> row_of(const Subject& subject);
  Result<std::int64_t> look_up_row_of(const Subject& subject);
  Result<Done> insert(const Fact& fact);

  const SqliteConnection& connection_;
  const RandomBits& random_;
  std::int64_t now_ms_;
  SqliteStatement insert_;
  SqliteStatement insert_subject_;
  SqliteStatement find_subject_;
  std::int64_t device_row_ = 0;
  Fact last_;  ///< end of the chain so far
  std::unordered_map<std::string, std::int64_t> subject_rows_;
  Subject last_subject_;  ///< empty before the first; an empty subject is never looked up
  std::int64_t last_subject_row_ = 0;
  Appended appended_;
};

}  // namespace strandbook
