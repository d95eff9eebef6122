#pragma once
// A power meter that is not there: answers SCPI as one would, with drift, noise and faults on demand.

#include <cstdint>
#include <map>
#include <optional>
#include <random>
#include <string>
#include <string_view>

namespace strandbook {

enum class MeterFault { none, silent, garbage, over_range, under_range, not_a_number, hang_up, endless };
std::optional<MeterFault> parse_meter_fault(std::string_view text);
/// "none, silent, garbage, over, under, nan, hang-up, endless"
std::string_view meter_fault_names();

struct SimulatedMeterSettings {
  std::map<int, double> level_dbm{{850, -20.0}, {1300, -20.5}, {1310, -5.0}, {1550, -5.2}};  ///< by nm
  double noise_db = 0.01;           ///< standard deviation of each reading
  double drift_db_per_hour = 0.02;  ///< of the source
  std::uint32_t seed = 1;
  bool in_watts = false;
  std::string line_end = "\n";
};

/// What goes back for a command.
struct MeterAnswer {
  std::string text;
  bool hang_up = false;
};

class SimulatedMeter {
 public:
  explicit SimulatedMeter(SimulatedMeterSettings settings)
      : settings_(std::move(settings)), random_(settings_.seed) {}
  /// `seconds`: since it was switched on. Besides SCPI: `SIM:FAULT NAME`, `SIM:LEVEL NM,DBM`.
  MeterAnswer answer(std::string_view command, double seconds);

 private:
  std::string power_text(double seconds);
  SimulatedMeterSettings settings_;
  std::mt19937 random_;
  int wavelength_nm_ = 1310;
  MeterFault fault_ = MeterFault::none;
};

}  // namespace strandbook
