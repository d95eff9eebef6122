#pragma once
// Where facts are kept. Facts are added, never changed or taken away; SQLite now, other stores behind the
// same.

#include <array>
#include <cstddef>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "domain/problem/problem.hpp"
#include "edge/book/device.hpp"
#include "edge/book/fact.hpp"
#include "edge/book/head.hpp"
#include "edge/book/store_writer.hpp"

namespace strandbook {

/// Gives the next fact to add, or nothing after the last. The first call comes inside the store's
/// transaction, where it may read the store; later ones may come from another thread, one at a time, and may
/// not. `first`: id of the batch's first fact, all zero at the first call.
using DraftSource = std::function<Result<std::optional<FactDraft>>(const Uuid& first)>;

struct Batch {
  std::vector<FileToKeep> files;  ///< kept only if there is at least one fact
  DraftSource next;
  std::string_view entry = {};  ///< name a screen gave what it sends: recorded once, by whichever service
};

/// Ids of one device's facts in a batch; they follow each other in its chain.
struct Appended {
  std::size_t facts = 0;
  Uuid first;
  Uuid last;
  bool already = false;  ///< the entry had been recorded before, as `first`; nothing was written
};

enum class FactOrder {
  time,    ///< by id: UUIDv7 rises with time, and within a device even where its clock was set back
  chain,   ///< by device, then sequence
  latest,  ///< by id, the last first
};

/// Members that are set must all hold.
struct FactQuery {
  FactOrder order = FactOrder::time;
  std::optional<FactKind> kind = {};
  std::optional<Uuid> id = {};
  std::optional<Uuid> target = {};       ///< corrections that name this fact
  std::optional<Subject> subject = {};   ///< names exactly as written
  std::optional<Uuid> before = {};       ///< ids that come before this one
  std::optional<Uuid> after = {};        ///< ids that come after this one
  std::optional<std::size_t> most = {};  ///< no more facts than these
};

/// A Problem ends the reading and is handed on.
using FactVisitor = std::function<Result<Done>(const Fact& fact)>;
using FileVisitor = std::function<Result<Done>(const Sha256& name, std::string_view bytes)>;

struct StoreCounts {
  std::array<std::size_t, fact_kinds> by_kind{};  ///< indexed by FactKind
  std::size_t facts = 0;
  std::size_t files = 0;
  std::size_t devices = 0;
};

class Store {
 public:
  Store() = default;
  Store(const Store&) = delete;
  Store& operator=(const Store&) = delete;
  virtual ~Store() = default;

  /// Adds all or nothing, and lasts through a power cut once it returns. Continues the device's chain, which
  /// no other writer can do at the same time, and signs its new end; a key that the chain does not name yet
  /// is recorded before.
  Result<Appended> append(const Device& device, const Batch& batch);
  /// Runs `work` in one transaction, which lasts through a power cut once this returns; a Problem undoes it
  /// all.
  virtual Result<Done> write(const std::function<Result<Done>(StoreWriter&)>& work) = 0;
  /// Reads one query after the other, all from the same moment of the book.
  virtual Result<Done> read(std::span<const FactQuery> queries, const FactVisitor& visit) const = 0;
  /// Every strand name that some fact bears.
  virtual Result<std::vector<Subject>> subjects() const = 0;
  /// Of one device, by rising sequence; of all where none is given, device by device.
  virtual Result<Done> read_heads(const std::optional<Uuid>& device, const HeadVisitor& visit) const = 0;
  virtual Result<std::optional<std::string>> file(const Sha256& name) const = 0;
  virtual Result<Done> read_files(const FileVisitor& visit) const = 0;
  virtual Result<StoreCounts> counts() const = 0;
  /// The container's own check of itself, apart from what the facts say.
  virtual Result<Done> check_container() const = 0;
  /// A number that is another one after some other connection wrote into the book.
  virtual Result<std::int64_t> outside_version() const = 0;
  /// The numbers at which the chains end, added up: how many facts there are, without counting them.
  virtual Result<std::int64_t> chained_facts() const = 0;
  /// Of this book alone: neither a merge nor a backup brings another's.
  virtual Result<Uuid> book_id() const = 0;
  /// Where the book is, for messages.
  virtual std::string place() const = 0;

 protected:
  virtual const Surroundings& surroundings() const = 0;
};

/// Adds these facts, all or none.
Result<Appended> append(Store& store, const Device& device, std::span<const FactDraft> drafts);
Result<std::optional<Fact>> find_fact(const Store& store, const Uuid& id);
Result<std::vector<Fact>> facts_of(const Store& store, const FactQuery& query);

}  // namespace strandbook
