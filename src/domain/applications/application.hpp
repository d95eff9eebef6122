#pragma once
// A network application as its standard's table prints it: what the channel may be, and what light goes in
// and comes out. Every number carries its own source: in one row some were seen and some are from memory.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "domain/link/link.hpp"
#include "domain/rulebook/sourced.hpp"
#include "domain/units/units.hpp"

namespace strandbook {

/// How the wavelengths of an application share its strands.
enum class WavelengthUse {
  one,           ///< one nominal wavelength on every strand
  multiplexed,   ///< each lane has its own wavelength on the same strand
  per_direction  ///< one strand, each direction has its own: downstream (or A) first, upstream second
};

enum class ApplicationFamily { ethernet, fibre_channel, passive_optical, telecom, legacy };

/// Average power of one lane in its window. Absent where no table gives it.
struct PowerWindow {
  std::optional<Sourced<PowerDbm>> launch_min;
  std::optional<Sourced<PowerDbm>> launch_max;
  /// Average sensitivity for 1 Gb/s and older and for passive optical networks; for 10 Gb/s and newer the
  /// informative "average receive power (min)": below it cannot comply, above it is no proof.
  std::optional<Sourced<PowerDbm>> receive_min;
  std::optional<Sourced<PowerDbm>> receive_max;
  std::optional<Sourced<PowerDbm>> damage;
};

/// One row of a published table: one application over one kind of fibre.
struct Application {
  std::string name;  ///< "10GBASE-SR"
  std::string
      table;  ///< whose table this is: "IEEE 802.3", "TIA-568.3-D"; two tables may print one application
  ApplicationFamily family = ApplicationFamily::ethernet;
  std::string fibre;  ///< as the table words it: "OM1 62.5/125 200 MHz·km"
  /// The categories of schedules that this row holds for; empty where a schedule cannot name the fibre.
  std::vector<FibreCategory> categories;
  /// Row only for cable of at most this attenuation coefficient; a wider class has its own row.
  std::optional<Sourced<DecibelsPerKilometre>> cable_class;
  std::vector<Nanometres> wavelengths;  ///< nominal, at least one
  WavelengthUse use = WavelengthUse::one;
  int lanes = 1;          ///< in one direction; of each wavelength where each direction has its own
  int strands = 2;        ///< in both directions together
  std::string connector;  ///< "duplex LC", "MPO-12 APC"
  /// The standard limits the modulation of the light: average power rejects, but does not prove.
  bool average_only_rejects = false;
  std::string needs;  ///< what else the table demands, such as a mode-conditioning cord; may be empty

  std::optional<Sourced<Metres>> max_length;
  std::optional<Sourced<Decibels>> max_loss;  ///< of the channel: cords and all connections
  std::optional<Sourced<Decibels>> min_loss;
  std::optional<Sourced<Decibels>> connection_allocation;  ///< connections and splices together
  std::optional<Sourced<Decibels>> additional_loss_allowed;
  std::optional<Sourced<Decibels>> power_budget;
  std::optional<Sourced<Decibels>> penalties;
  std::optional<Sourced<Decibels>> channel_return_loss_min;   ///< or the transmitter's tolerance of it
  std::optional<Sourced<Decibels>> discrete_reflectance_max;  ///< negative
  std::optional<Sourced<double>> skew_max_ns;
  std::optional<Sourced<double>> skew_variation_max_ns;
  PowerWindow window;  ///< per lane; where each direction has its own wavelength, that of the first one
  // The second direction of a strand that carries both; absent where the table gives it no numbers of its
  // own.
  std::optional<Sourced<Decibels>> upstream_max_loss;
  std::optional<Sourced<Decibels>> upstream_power_budget;
  PowerWindow upstream;
  RuleRef source;  ///< of the row as a whole; its standing is that of length and loss together
  std::vector<std::string> notes;
};

/// One number of a row as a person reads it. Views the row.
struct NamedNumber {
  std::string_view what;  ///< "reach", "launch power, least"
  double value = 0;
  std::string_view unit;
  const RuleRef* source = nullptr;
};
/// All numbers that the row has, in the order of a working.
std::vector<NamedNumber> numbers_of(const Application& row);

using ApplicationTable = std::vector<Application>;

std::string_view text_of(WavelengthUse use);         // "one", "multiplexed", "per direction"
std::string_view text_of(ApplicationFamily family);  // "Ethernet", "Fibre Channel", ...

}  // namespace strandbook
