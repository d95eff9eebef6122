#pragma once
// Which scheduled strand a reading's names mean. Exact first; safe repairs are noted; risky ones proposed.

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "domain/plan/schedule.hpp"

namespace strandbook {

inline constexpr std::uint32_t no_strand = 0xffffffff;

/// Ways in which two spellings can mean one name. Never applied unless a person confirmed the kind.
enum class NameRepair : std::uint8_t { padding = 1, separators = 2, letters = 4, exponent = 8 };

/// A set of NameRepair, as bits.
using NameRepairs = std::uint8_t;

std::optional<NameRepair> parse_name_repair(
    std::string_view text);  // "padding", "separators", "letters", "exponent"
/// "padding and letter for digit"
std::string describe_repairs(NameRepairs repairs);

/// Exact names to strands. A reading may name link and strand, cable and strand, or the strand alone where
/// that is unique. Views into the schedule, which must outlive it.
class StrandIndex {
 public:
  explicit StrandIndex(const Schedule& schedule);
  /// Index into the schedule, or no_strand.
  std::uint32_t find(std::string_view link, std::string_view strand) const;

 private:
  struct Slot {
    std::uint64_t hash = 0;
    std::uint32_t strand = no_strand;
    std::uint8_t key = 0;  ///< which of the strand's names it stands under
  };
  std::uint32_t look_up(std::uint8_t key, std::string_view link, std::string_view strand) const;
  void insert(std::uint8_t key, std::uint32_t strand);
  const Schedule& schedule_;
  std::vector<Slot> slots_;
};

/// The match found for a name that is not in the schedule letter for letter.
struct NameMatch {
  std::uint32_t strand = no_strand;  ///< no_strand: nothing is like it, or more than one thing is
  NameRepairs repairs = 0;           ///< 0 = only case, blanks or a joint between link and strand differ
};

/// Resolves misspelt names. Built only when there are some.
class NameGuesser {
 public:
  explicit NameGuesser(const Schedule& schedule);
  NameMatch guess(std::string_view link, std::string_view strand) const;

 private:
  std::uint32_t tidy_match(std::string_view link, std::string_view strand) const;
  const Schedule& schedule_;
  std::unordered_map<std::string, std::uint32_t> tidy_;  ///< no_strand = ambiguous
  std::unordered_map<std::string, std::uint32_t> bare_;  ///< every repair applied
};

/// Upper case, no blanks around, one blank where there were several: two spellings of one name.
std::string tidy_name(std::string_view text);

/// "BB-01/07", or only what is there.
std::string name_of(const ScheduledStrand& strand);

struct SortedSchedule {
  Schedule strands;               ///< one row per strand
  std::vector<Problem> repeated;  ///< rows that name a strand again; the first row counts
};
/// A strand listed twice would be planned twice: later rows of the same link and strand are set aside.
SortedSchedule without_repeats(Schedule schedule);

}  // namespace strandbook
