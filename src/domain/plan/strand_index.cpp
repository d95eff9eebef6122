#include "domain/plan/strand_index.hpp"

#include <bit>
#include <functional>
#include <unordered_set>

namespace strandbook {
namespace {

enum Key : std::uint8_t { by_link, by_cable, by_strand_alone };

std::uint64_t hash_of(std::uint8_t key, std::string_view link, std::string_view strand) {
  const std::uint64_t a = std::hash<std::string_view>{}(link);
  const std::uint64_t b = std::hash<std::string_view>{}(strand);
  return (a * 0x9e3779b97f4a7c15ULL + std::rotl(b, 31)) ^ key;
}

std::string_view group_under(std::uint8_t key, const ScheduledStrand& strand) {
  switch (static_cast<Key>(key)) {
    case by_link:
      return link_name(strand);
    case by_cable:
      return strand.cable;
    case by_strand_alone:
      return {};
  }
  return {};
}

constexpr std::uint8_t ambiguous_mark = 0x80;

}  // namespace

StrandIndex::StrandIndex(const Schedule& schedule) : schedule_(schedule) {
  slots_.resize(std::bit_ceil(schedule.size() * 5 + 8));
  for (std::uint32_t i = 0; i < schedule.size(); ++i) {
    insert(by_link, i);
    if (!schedule[i].link.empty() && !schedule[i].cable.empty()) insert(by_cable, i);
    insert(by_strand_alone, i);
  }
}

void StrandIndex::insert(std::uint8_t key, std::uint32_t strand) {
  const ScheduledStrand& row = schedule_[strand];
  const std::string_view group = group_under(key, row);
  const std::uint64_t hash = hash_of(key, group, row.strand);
  std::size_t at = hash & (slots_.size() - 1);
  for (; slots_[at].strand != no_strand; at = (at + 1) & (slots_.size() - 1)) {
    Slot& taken = slots_[at];
    const std::uint8_t plain = taken.key & static_cast<std::uint8_t>(~ambiguous_mark);
    if (taken.hash != hash || plain != key || schedule_[taken.strand].strand != row.strand ||
        group_under(key, schedule_[taken.strand]) != group)
      continue;
    taken.key = key | ambiguous_mark;
    return;
  }
  slots_[at] = {hash, strand, key};
}

std::uint32_t StrandIndex::look_up(std::uint8_t key, std::string_view link, std::string_view strand) const {
  const std::uint64_t hash = hash_of(key, link, strand);
  for (std::size_t at = hash & (slots_.size() - 1); slots_[at].strand != no_strand;
       at = (at + 1) & (slots_.size() - 1)) {
    const Slot& slot = slots_[at];
    const std::uint8_t plain = slot.key & static_cast<std::uint8_t>(~ambiguous_mark);
    if (slot.hash != hash || plain != key) continue;
    const ScheduledStrand& row = schedule_[slot.strand];
    if (row.strand != strand || group_under(key, row) != link) continue;
    return slot.key == plain ? slot.strand : no_strand;
  }
  return no_strand;
}

std::uint32_t StrandIndex::find(std::string_view link, std::string_view strand) const {
  if (link.empty()) return look_up(by_strand_alone, {}, strand);
  std::uint32_t found = look_up(by_link, link, strand);
  if (found == no_strand) found = look_up(by_cable, link, strand);
  if (found != no_strand) return found;
  // A schedule of strands without links cannot contradict the link that a reading names.
  found = look_up(by_strand_alone, {}, strand.empty() ? link : strand);
  if (found == no_strand) return found;
  return strand.empty() || link_name(schedule_[found]).empty() ? found : no_strand;
}

std::string name_of(const ScheduledStrand& strand) {
  const std::string link{link_name(strand)};
  if (link.empty() || strand.strand.empty()) return link + strand.strand;
  return link + "/" + strand.strand;
}

SortedSchedule without_repeats(Schedule schedule) {
  // Compacted in place: a hundred thousand rows are too much memory to touch twice.
  const auto hash = [&schedule](std::uint32_t row) {
    return static_cast<std::size_t>(hash_of(by_link, link_name(schedule[row]), schedule[row].strand));
  };
  const auto same = [&schedule](std::uint32_t a, std::uint32_t b) {
    return schedule[a].strand == schedule[b].strand && link_name(schedule[a]) == link_name(schedule[b]);
  };
  std::unordered_set<std::uint32_t, decltype(hash), decltype(same)> seen(schedule.size(), hash, same);
  std::vector<Problem> repeated;
  std::uint32_t kept = 0;
  for (ScheduledStrand& row : schedule) {
    if (&row != &schedule[kept]) schedule[kept] = std::move(row);
    const auto [first, fresh] = seen.insert(kept);
    if (fresh) {
      ++kept;
      continue;
    }
    const ScheduledStrand& again = schedule[kept];
    repeated.push_back({again.at, "strand " + name_of(again) + " again", "each strand once",
                        "First listed at " + describe(schedule[*first].at) +
                            ", which counts. Remove the row that is wrong."});
  }
  schedule.resize(kept);
  return {std::move(schedule), std::move(repeated)};
}

}  // namespace strandbook
