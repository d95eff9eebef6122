#pragma once
// What blocks have in common, kept up block by block so that a reading costs its own block only.

#include <set>
#include <string>
#include <unordered_map>
#include <vector>

#include "domain/diagnosis/examine_block.hpp"

namespace strandbook {

class JobIndex {
 public:
  void add(const BlockFacts& facts, std::uint32_t block);
  void take_away(const BlockFacts& facts, std::uint32_t block);

  /// Strands with an outcome, and those of them that fail.
  std::uint32_t tested() const { return tested_; }
  std::uint32_t bad() const { return bad_; }
  std::size_t levels() const { return levels_.size(); }
  /// Whole counts of the levels with at least so many failing strands, in a fixed order.
  std::vector<FactorCount> with_bad(std::uint32_t least, const std::vector<BlockFacts>& facts) const;
  /// Columns whose print another column has too, those of one print side by side.
  std::vector<ColumnPrint> doubled() const;

 private:
  struct Key {
    Factor factor;
    std::string level;
    bool operator==(const Key&) const = default;
  };
  struct KeyHash {
    std::size_t operator()(const Key& key) const {
      return std::hash<std::string>{}(key.level) * 31 + static_cast<std::size_t>(key.factor);
    }
  };
  struct Level {
    std::uint32_t bad = 0;
    std::vector<std::uint32_t> blocks;  ///< in which it occurs, ascending
  };
  std::unordered_map<Key, Level, KeyHash> levels_;
  std::unordered_map<std::uint64_t, std::vector<ColumnPrint>> prints_;
  std::set<std::uint64_t> doubled_;
  std::uint32_t tested_ = 0;
  std::uint32_t bad_ = 0;
};

}  // namespace strandbook
