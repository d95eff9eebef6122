#include "domain/diagnosis/job_index.hpp"

#include <algorithm>

namespace strandbook {
namespace {

void add_count(FactorCount& sum, const FactorCount& more) {
  sum.factor = more.factor;
  sum.level = more.level;
  sum.tested += more.tested;
  sum.bad += more.bad;
  sum.who += more.who;
  sum.links |= more.links;
  sum.bad_tests.insert(sum.bad_tests.end(), more.bad_tests.begin(), more.bad_tests.end());
}

}  // namespace

void JobIndex::add(const BlockFacts& facts, std::uint32_t block) {
  for (const FactorCount& count : facts.factors) {
    Level& level = levels_[{count.factor, count.level}];
    level.bad += count.bad;
    const auto at = std::lower_bound(level.blocks.begin(), level.blocks.end(), block);
    if (at == level.blocks.end() || *at != block) level.blocks.insert(at, block);
    if (count.factor != Factor::position) continue;  // every strand has one
    tested_ += count.tested;
    bad_ += count.bad;
  }
  for (const ColumnPrint& print : facts.prints) {
    std::vector<ColumnPrint>& same = prints_[print.print];
    const auto at =
        std::lower_bound(same.begin(), same.end(), print.sample,
                         [](const ColumnPrint& each, std::uint32_t sample) { return each.sample < sample; });
    same.insert(at, print);
    if (same.size() > 1) doubled_.insert(print.print);
  }
}

void JobIndex::take_away(const BlockFacts& facts, std::uint32_t block) {
  for (const FactorCount& count : facts.factors) {
    const auto at = levels_.find({count.factor, count.level});
    at->second.bad -= count.bad;
    std::erase(at->second.blocks, block);
    if (at->second.blocks.empty()) levels_.erase(at);
    if (count.factor != Factor::position) continue;
    tested_ -= count.tested;
    bad_ -= count.bad;
  }
  for (const ColumnPrint& print : facts.prints) {
    const auto at = prints_.find(print.print);
    std::erase_if(at->second, [&](const ColumnPrint& each) { return each.sample == print.sample; });
    if (at->second.size() < 2) doubled_.erase(print.print);
    if (at->second.empty()) prints_.erase(at);
  }
}

std::vector<FactorCount> JobIndex::with_bad(std::uint32_t least, const std::vector<BlockFacts>& facts) const {
  std::vector<FactorCount> counts;
  for (const auto& [key, level] : levels_) {
    if (level.bad < least) continue;
    FactorCount sum;
    for (const std::uint32_t block : level.blocks)
      for (const FactorCount& count : facts[block].factors)
        if (count.factor == key.factor && count.level == key.level) add_count(sum, count);
    counts.push_back(std::move(sum));
  }
  std::sort(counts.begin(), counts.end(), [](const FactorCount& a, const FactorCount& b) {
    return a.factor != b.factor ? a.factor < b.factor : a.level < b.level;
  });
  return counts;
}

std::vector<ColumnPrint> JobIndex::doubled() const {
  std::vector<ColumnPrint> list;
  for (const std::uint64_t print : doubled_) {
    const std::vector<ColumnPrint>& same = prints_.at(print);
    list.insert(list.end(), same.begin(), same.end());
  }
  return list;
}

}  // namespace strandbook
