#pragma once
// Adds to a book in PostgreSQL inside a transaction that the caller holds.

#include <map>
#include <set>
#include <vector>

#include "edge/book/postgres_connection.hpp"
#include "edge/book/store_writer.hpp"

namespace strandbook {

/// Facts wait here and go in one piece; every question sends them first.
class PostgresWriter : public StoreWriter {
 public:
  explicit PostgresWriter(const PostgresConnection& connection) : connection_(connection) {}

  Result<ChainPlace> end_of_chain(const Uuid& device) override;
  Result<std::optional<ChainPlace>> at(const Uuid& device, std::int64_t sequence) override;
  Result<bool> holds(const Uuid& fact) override;
  Result<std::optional<Uuid>> recorded(std::string_view entry) override;
  Result<std::string> key_fact(const Uuid& device, std::int64_t up_to) override;
  Result<Done> add(const Fact& fact) override;
  Result<Done> add(const Head& head) override;
  Result<Done> keep(const FileToKeep& file) override;

  /// Sends what waits.
  Result<Done> flush();
  /// Sends what waits and counts the write of each device that was written to.
  Result<Done> finish();
  std::size_t devices_written() const { return written_.size(); }

 private:
  /// Places of one chain that were asked for in one piece. Whoever asks for one after the other, as a merge
  /// does, would otherwise wait for the server at each.
  struct PlacesAhead {
    std::int64_t device = 0;  ///< its row; 0: nothing was asked for yet
    std::int64_t from = 1;    ///< sequences from here to there are known
    std::int64_t to = 0;
    std::int64_t most = 1;           ///< places asked for; twice as many each time they were not enough
    std::vector<ChainPlace> places;  ///< those of them that are in the book, by rising sequence
    bool hold(std::int64_t row, std::int64_t sequence) const {
      return row == device && sequence >= from && sequence <= to;
    }
    std::optional<ChainPlace> at(std::int64_t sequence) const;
  };
  Result<std::int64_t> row_of(const Uuid& device);
  Result<std::vector<ChainPlace>> places(const char* sql, const std::vector<PostgresValue>& values);
  Result<Done> look_ahead(std::int64_t device, std::int64_t sequence);

  const PostgresConnection& connection_;
  std::map<Uuid, std::int64_t> device_rows_;
  std::set<std::int64_t> written_;
  std::string waiting_;  ///< rows of a COPY in binary form
  std::size_t rows_waiting_ = 0;
  PlacesAhead ahead_;
};

}  // namespace strandbook
