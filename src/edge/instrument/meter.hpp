#pragma once
// One reading of an optical power meter that speaks SCPI (IEEE 488.2, SCPI-99), over TCP or a serial line.

#include <chrono>
#include <optional>
#include <string>
#include <string_view>

#include "domain/problem/problem.hpp"
#include "domain/units/units.hpp"

namespace strandbook {

enum class PowerUnit { dbm, watt };
std::string_view text_of(PowerUnit unit);  // "dBm", "W"
std::optional<PowerUnit> parse_power_unit(std::string_view text);

/// Texts sent to the meter, without their line end. An empty one is never sent.
struct MeterCommands {
  std::string identify = "*IDN?";
  std::string power = "READ:POW?";
  std::string wavelength = "SENS:POW:WAV?";
  std::string set_wavelength = "SENS:POW:WAV {nm}NM";  ///< {nm} stands for the wavelength
};

struct Instrument {
  std::string name;
  std::string address;  ///< "tcp://127.0.0.1:5025", "serial:/dev/ttyUSB0?baud=9600"
  MeterCommands commands;
  PowerUnit unit = PowerUnit::dbm;
};

struct MeterReading {
  PowerDbm power;
  std::optional<Nanometres> wavelength;  ///< that the meter is set to; empty where it is not asked
  std::string identity;                  ///< as the meter gives it, made printable
};

/// Where a meter is reached.
struct MeterAddress {
  std::string host;  ///< empty: a serial line
  std::string port;
  std::string device;
  unsigned baud = 9600;
};
Result<MeterAddress> parse_meter_address(std::string_view address);

/// A level as the meter writes it. The SCPI values for over range (9.9E37), under range (-9.9E37) and not a
/// number (9.91E37) are Problems; so is no light in watts, which has no level.
Result<PowerDbm> parse_power(std::string_view reply, PowerUnit unit);
/// A wavelength as the meter writes it: nanometres, or metres where it is below 1 ("1.310E-06").
Result<Nanometres> parse_wavelength(std::string_view reply);

/// Opens, asks and closes. Sets the wavelength first where one is wanted, and sees that it was taken. Each
/// answer must come within `patience`.
Result<MeterReading> ask_meter(const Instrument& instrument, std::optional<Nanometres> wanted,
                               std::chrono::milliseconds patience = std::chrono::seconds(2));

}  // namespace strandbook
