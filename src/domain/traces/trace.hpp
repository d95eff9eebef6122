#pragma once
// A backscatter trace as an OTDR recorded it: levels along the fibre with the settings they were taken at.

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "domain/link/instant.hpp"
#include "domain/link/link.hpp"
#include "domain/traces/optical_time.hpp"
#include "domain/units/units.hpp"

namespace strandbook {

/// What the instrument itself wrote about an event. It is shown beside what is found, never taken in its
/// place.
struct StoredEvent {
  int number = 0;
  Metres position;  ///< of its start, from the front panel or the user's zero, as the instrument counts
  DecibelsPerKilometre lead_in;
  Decibels loss;
  std::optional<Decibels> reflectance;
  bool end_of_fibre = false;
  bool saturated = false;
  std::string comment;
};

/// Who, what and where, as the record tells it. Empty where it does not.
struct TraceIdentity {
  std::string cable;
  std::string fibre;
  std::string from;  ///< where the instrument stood
  std::string to;
  std::string operator_name;
  std::string instrument;  ///< maker's words and serial number
  std::string comment;
  std::optional<Instant> taken;
  std::optional<Direction> direction;
};

struct TraceSettings {
  Nanometres wavelength;
  double pulse_ns = 0;
  GroupIndex index;
  std::optional<Decibels> backscatter;  ///< backscatter coefficient for a pulse of 1 ns, about −80 dB
  std::optional<Metres> launch;         ///< length of the launch cord
  std::optional<Metres> receive;        ///< length of the receive cord
  double averages = 0;                  ///< 0 where not stated
  double averaging_s = 0;               ///< 0 where not stated
};

/// Levels are one-way decibels (5·log10 of the light that comes back), more light higher; only differences
/// mean something. Sample k stands at first + k·step from the front panel.
struct Trace {
  TraceIdentity identity;
  TraceSettings settings;
  Metres first;
  Metres step{1};
  std::vector<double> level_db;
  double ceiling_db = 1e9;  ///< samples at or above are clipped: the light was at least this
  double floor_db = -1e9;   ///< samples at or below hold no light that could be read
  std::vector<StoredEvent> stored;
  bool scale_inferred = false;     ///< the distance scale rests on a choice that the notes tell
  std::vector<std::string> notes;  ///< what was doubtful and how it was read

  Metres position_of(double sample) const { return {first.value + step.value * sample}; }
};

}  // namespace strandbook
