#include "edge/instrument/meter.hpp"

#include <charconv>
#include <cmath>

#include "edge/instrument/meter_line.hpp"

namespace strandbook {
namespace {

// SCPI-99, volume 1, 7.2.1.4 and 7.2.1.5: infinities are ±9.9E37, not-a-number is 9.91E37.
constexpr double scpi_infinity = 9.9e37;
constexpr double scpi_nan = 9.91e37;

std::string_view trimmed(std::string_view text) {
  const std::size_t first = text.find_first_not_of(" \t\r\n");
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(" \t\r\n") - first + 1);
}

std::string printable(std::string_view text) {
  std::string out;
  for (const char c : text.substr(0, 200)) out += c >= ' ' && c <= '~' ? c : '?';
  return out;
}

std::optional<double> number_of(std::string_view text) {
  text = trimmed(text);
  if (text.starts_with('+')) text.remove_prefix(1);
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc{} || end != text.data() + text.size() || !std::isfinite(value)) return std::nullopt;
  return value;
}

bool near_to(double value, double mark) { return std::abs(value - mark) < std::abs(mark) * 1e-4; }

Problem bad_reply(std::string_view reply, const std::string& wanted, const std::string& advice) {
  return {{}, "\"" + printable(reply) + "\"", wanted, advice};
}

Problem at_meter(Problem problem, const Instrument& instrument) {
  problem.at.file = "meter " + (instrument.name.empty() ? instrument.address : instrument.name);
  return problem;
}

std::string with_wavelength(const std::string& command, Nanometres wavelength) {
  std::string text = command;
  const std::size_t at = text.find("{nm}");
  char digits[32];
  const auto [end, error] = std::to_chars(digits, digits + sizeof digits, wavelength.value);
  if (at != std::string::npos && error == std::errc{}) text.replace(at, 4, std::string(digits, end));
  return text;
}

/// What the meter is set to, after setting it where that is wanted.
Result<std::optional<Nanometres>> settle_wavelength(MeterLine& line, const MeterCommands& commands,
                                                    std::optional<Nanometres> wanted) {
  if (wanted && !commands.set_wavelength.empty()) {
    const Result<Done> sent = line.send(with_wavelength(commands.set_wavelength, *wanted));
    if (!sent) return sent.problem();
  }
  if (commands.wavelength.empty()) return std::optional<Nanometres>{};
  const Result<std::string> reply = line.ask(commands.wavelength);
  if (!reply) return reply.problem();
  const Result<Nanometres> set = parse_wavelength(*reply);
  if (!set) return set.problem();
  if (wanted && std::abs(set->value - wanted->value) > 0.5)
    return bad_reply(*reply, "the wavelength " + std::to_string(static_cast<int>(wanted->value)) + " nm",
                     "Set the meter's wavelength by hand, then read again.");
  return std::optional(*set);
}

}  // namespace

std::string_view text_of(PowerUnit unit) { return unit == PowerUnit::dbm ? "dBm" : "W"; }

std::optional<PowerUnit> parse_power_unit(std::string_view text) {
  for (const PowerUnit unit : {PowerUnit::dbm, PowerUnit::watt})
    if (text_of(unit) == text) return unit;
  return std::nullopt;
}

Result<MeterAddress> parse_meter_address(std::string_view text) {
  const Problem wrong{{},
                      "\"" + printable(text) + "\"",
                      "tcp://HOST:PORT or serial:/dev/NAME?baud=9600",
                      "Give the meter's address."};
  MeterAddress address;
  if (text.starts_with("tcp://")) {
    text.remove_prefix(6);
    const std::size_t colon = text.rfind(':');
    if (colon == std::string_view::npos || colon == 0 || colon + 1 == text.size()) return wrong;
    address.host = std::string(text.substr(0, colon));
    address.port = std::string(text.substr(colon + 1));
    if (address.port.find_first_not_of("0123456789") != std::string::npos || address.port.size() > 5)
      return wrong;
    return address;
  }
  if (!text.starts_with("serial:/dev/")) return wrong;
  text.remove_prefix(7);
  const std::size_t mark = text.find('?');
  address.device = std::string(text.substr(0, mark));
  if (mark == std::string_view::npos) return address;
  const auto baud = text.substr(mark).starts_with("?baud=") ? number_of(text.substr(mark + 6)) : std::nullopt;
  if (!baud || *baud < 300 || *baud > 4000000) return wrong;
  address.baud = static_cast<unsigned>(*baud);
  return address;
}

Result<PowerDbm> parse_power(std::string_view reply, PowerUnit unit) {
  const std::optional<double> value = number_of(reply);
  if (!value)
    return bad_reply(reply, "a power as a number",
                     "Is the command for the power right? See the meter's manual.");
  if (near_to(*value, scpi_nan))
    return bad_reply(reply, "a power", "The meter has no reading: wait until it shows one, then read again.");
  if (near_to(*value, scpi_infinity))
    return bad_reply(reply, "a power within the meter's range",
                     "Too much light for this range: change the range or attenuate.");
  if (near_to(*value, -scpi_infinity))
    return bad_reply(reply, "a power within the meter's range",
                     "Too little light. See that the source is on and the far end is connected; if it is, "
                     "record no light.");
  if (unit == PowerUnit::watt && *value <= 0)
    return bad_reply(reply, "a power above zero", "No light has no level: record no light.");
  const PowerDbm level = unit == PowerUnit::watt ? to_dbm({*value * 1000}) : PowerDbm{*value};
  if (level.value < -100 || level.value > 50)
    return bad_reply(reply, "a level of -100 to 50 dBm", "Is the unit of the meter right, dBm or W?");
  return level;
}

Result<Nanometres> parse_wavelength(std::string_view reply) {
  const std::optional<double> value = number_of(reply);
  const double nm = value && std::abs(*value) < 1 ? *value * 1e9 : value.value_or(0);
  if (nm < 400 || nm > 2000)
    return bad_reply(reply, "a wavelength of 400 to 2000 nm", "Is the command for the wavelength right?");
  return Nanometres{nm};
}

Result<MeterReading> ask_meter(const Instrument& instrument, std::optional<Nanometres> wanted,
                               std::chrono::milliseconds patience) {
  const Result<MeterAddress> address = parse_meter_address(instrument.address);
  if (!address) return at_meter(address.problem(), instrument);
  Result<std::unique_ptr<MeterLine>> line = MeterLine::open(*address, instrument.address, patience);
  if (!line) return at_meter(line.problem(), instrument);
  MeterReading reading;
  if (!instrument.commands.identify.empty()) {
    const Result<std::string> identity = (*line)->ask(instrument.commands.identify);
    if (!identity) return at_meter(identity.problem(), instrument);
    reading.identity = printable(*identity);
  }
  const auto wavelength = settle_wavelength(**line, instrument.commands, wanted);
  if (!wavelength) return at_meter(wavelength.problem(), instrument);
  reading.wavelength = *wavelength;
  const Result<std::string> reply = (*line)->ask(instrument.commands.power);
  if (!reply) return at_meter(reply.problem(), instrument);
  const Result<PowerDbm> power = parse_power(*reply, instrument.unit);
  if (!power) return at_meter(power.problem(), instrument);
  reading.power = *power;
  return reading;
}

}  // namespace strandbook
