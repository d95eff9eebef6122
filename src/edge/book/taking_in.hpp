#pragma once
// Bringing facts of other devices into a book as they stand elsewhere: the union of both, whatever the order.

#include <map>
#include <set>
#include <vector>

#include "edge/book/store.hpp"

namespace strandbook {

struct TakenIn {
  std::size_t facts = 0;                          ///< that were not in the book
  std::size_t already = 0;                        ///< that were
  std::array<std::size_t, fact_kinds> by_kind{};  ///< of those that were not, indexed by FactKind
  std::size_t files = 0;                          ///< looked at
  std::size_t signatures = 0;                     ///< looked at
  /// What was left where it is, and why; of a chain that parts in two, once.
  std::vector<Problem> refused;
};

/// Takes facts, signatures and files one by one inside a transaction. Facts of a chain come by rising number;
/// a chain may have gaps, which a later taking-in fills. What is damaged or contradicts the book is refused
/// and the rest goes on.
class TakerIn {
 public:
  TakerIn(StoreWriter& store, std::string source) : store_(store), source_(std::move(source)) {}
  Result<Done> take(Fact fact);
  /// After all facts.
  Result<Done> take(const Head& head);
  Result<Done> take(const Sha256& name, std::string_view bytes);
  TakenIn finish() && { return std::move(taken_); }

 private:
  Result<Done> place(const Fact& fact);
  Result<bool> fits_its_neighbours(const Fact& fact);
  void refuse(const Fact& fact, const std::string& found, const std::string& advice);
  void refuse_fork(const Fact& fact);

  StoreWriter& store_;
  std::string source_;
  std::map<Uuid, std::int64_t> ends_;  ///< furthest number of each device that the book held before
  Fact last_;                          ///< taken last
  std::set<Uuid> forked_;
  TakenIn taken_;
};

/// The union of both books goes into `into`, in one transaction: again, in parts or the other way round it
/// comes to the same.
Result<TakenIn> merge(Store& into, const Store& from);

}  // namespace strandbook
