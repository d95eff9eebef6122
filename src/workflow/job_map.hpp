#pragma once
// Every test's outcome as letters in columns: the whole job at a glance, 100,000 strands in one answer.

#include <optional>
#include <string>
#include <vector>

#include "domain/verdict/live_judgement.hpp"

namespace strandbook {

/// A wavelength, with a column for each direction of the strands that are tested both ways and one without
/// direction for the strands that are tested in whichever. So a cell is one test, and says which.
struct MapColumn {
  Nanometres wavelength;  ///< 0: whatever was read
  std::optional<Direction> direction;
  bool operator==(const MapColumn&) const = default;
};

/// P pass, C conditional pass, D conditional fail, F fail, N not tested, X invalid.
char letter_of(Outcome outcome);
inline constexpr char no_such_test = '.';

std::vector<MapColumn> columns_of(const LiveJudgement& judgement);
/// The letters of one strand, one per column.
std::string letters_of(const LiveJudgement& judgement, const std::vector<MapColumn>& columns,
                       std::uint32_t strand);
/// One text per column, one letter per strand.
std::vector<std::string> cells_of(const LiveJudgement& judgement, const std::vector<MapColumn>& columns);

/// Who took each strand's latest reading that counts.
struct PeopleOfStrands {
  std::vector<std::string> people;
  std::vector<std::int32_t> of;  ///< index into people, or -1
};
PeopleOfStrands people_of(const LiveJudgement& judgement);

/// Runs of strands of the same link, in the order of the schedule.
struct LinkRuns {
  std::vector<std::uint32_t> links;  ///< a strand of each link, whose row tells of the link
  std::vector<std::pair<std::uint32_t, std::uint32_t>> runs;  ///< index into links, number of strands
};
LinkRuns link_runs(const Schedule& schedule);

}  // namespace strandbook
