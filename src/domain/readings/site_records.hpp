#pragma once
// What the site records besides references and readings: certificates of instruments, where light came out.

#include <optional>
#include <string>
#include <vector>

#include "domain/link/instant.hpp"
#include "domain/problem/problem.hpp"
#include "domain/rulebook/splice_demand.hpp"

namespace strandbook {

/// A splice was made, or made again.
struct SpliceAttempt {
  std::string link;
  std::string strand;
  Metres from_a;    ///< where it stands, from A
  int attempt = 1;  ///< which one this is, from 1 on
  std::optional<SpliceMethod> method;
  std::optional<Instant> time;
  std::string person;
};

/// The calibration of one instrument: its certificate covers both days and those between.
struct Calibration {
  std::string instrument;   ///< as the readings name it, for instance its serial number
  std::string kind;         ///< "power meter"; may be empty
  std::string certificate;  ///< its number; may be empty
  Instant from;
  Instant through;
  Place at;
};

/// Light was sent into one port and looked for at the other end.
struct LightPath {
  std::string in;   ///< port or strand as the schedule names it
  std::string out;  ///< where it was seen; empty where it was seen nowhere
  std::optional<Instant> time;
  std::string operator_name;
  Place at;
};

struct SiteRecords {
  std::vector<Calibration> calibrations;
  std::vector<LightPath> light_paths;
  std::vector<SpliceAttempt> splice_attempts;
};

}  // namespace strandbook
