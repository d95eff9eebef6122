#pragma once
// Whether light that went into a strand came out of the same strand.

#include <cstdint>
#include <string>
#include <vector>

#include "domain/plan/schedule.hpp"
#include "domain/readings/site_records.hpp"

namespace strandbook {

enum class Continuity : std::uint8_t {
  not_tried,
  straight,
  dark,     ///< it came out nowhere
  crossed,  ///< it came out of another strand
};

/// What was recorded of one strand. Where both ends were tried the worse counts; of one end the latest.
struct StrandContinuity {
  Continuity state = Continuity::not_tried;
  std::uint32_t path = 0;    ///< row of the light path that says so
  std::uint32_t out_of = 0;  ///< meaningful where crossed: strand the light came out of
};

struct ContinuityMap {
  std::vector<StrandContinuity> strands;  ///< one per strand, or none where nothing was recorded
  std::vector<std::uint32_t> unplaced;    ///< rows of light paths that name a port no strand has
};

/// Ports are end_a and end_b of the schedule where one strand only has them, or strands ("C4/05"). Case and
/// blanks aside.
ContinuityMap continuity_of(const Schedule& schedule, const std::vector<LightPath>& paths);

/// That a row's port is not in the schedule.
Problem unplaced_path(const LightPath& path);

}  // namespace strandbook
