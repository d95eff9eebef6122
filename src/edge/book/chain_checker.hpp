#pragma once
// Follows chains of facts: hashes, numbers, content, signatures.

#include <map>
#include <set>
#include <vector>

#include "edge/book/domain_facts.hpp"
#include "edge/book/verify.hpp"

namespace strandbook {

/// Takes facts device by device, each chain from its start.
class ChainChecker {
 public:
  ChainChecker(const Store& store, std::span<const Head> known);
  Result<Done> take(const Fact& fact);
  /// Ends the last chain. Known ends of chains that the book does not hold become chains without facts.
  Result<Done> finish();
  std::vector<ChainReport> take_chains() { return std::move(chains_); }
  const std::set<Sha256>& files_named() const { return files_named_; }

 private:
  struct Key {
    std::int64_t from;
    PublicKey key;
  };
  Result<Done> begin_chain(const Fact& fact);
  void end_chain();
  void check_end();
  void check_signature(ChainReport& chain);
  bool signature_holds(const Head& head) const;
  std::optional<Problem> wrong_with(const Fact& fact) const;
  std::optional<Problem> wrong_with_content(const Fact& fact);
  std::optional<Problem> wrong_with_place(const Fact& fact, const FactFields& fields) const;
  void note_key(const Fact& fact, const FactFields& fields);
  void note_retirement(const FactFields& fields);
  void compare_heads(const Fact& fact);
  Problem bad(const Fact& fact, const std::string& why, const std::string& wanted) const;
  Problem bad_end(const std::string& found, const std::string& wanted, const std::string& advice) const;
  void note(const Fact& fact, std::optional<Problem> problem);

  const Store& store_;
  std::map<std::pair<Uuid, std::int64_t>, Sha256> known_;
  std::vector<ChainReport> chains_;
  std::map<Uuid, std::int64_t> retired_;
  std::set<Sha256> files_named_;
  // Of the chain at hand:
  Fact last_;
  std::vector<Head> heads_;
  std::size_t next_head_ = 0;
  std::vector<Key> keys_;
};

}  // namespace strandbook
