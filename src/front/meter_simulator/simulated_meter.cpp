#include "front/meter_simulator/simulated_meter.hpp"

#include <fmt/format.h>

#include <array>
#include <charconv>
#include <cmath>

namespace strandbook {
namespace {

constexpr std::array<std::pair<std::string_view, MeterFault>, 8> faults{{{"none", MeterFault::none},
                                                                         {"silent", MeterFault::silent},
                                                                         {"garbage", MeterFault::garbage},
                                                                         {"over", MeterFault::over_range},
                                                                         {"under", MeterFault::under_range},
                                                                         {"nan", MeterFault::not_a_number},
                                                                         {"hang-up", MeterFault::hang_up},
                                                                         {"endless", MeterFault::endless}}};

std::optional<double> number_at(std::string_view text) {
  while (text.starts_with(' ')) text.remove_prefix(1);
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  return error == std::errc{} ? std::optional(value) : std::nullopt;
}

std::string upper(std::string_view text) {
  std::string out;
  for (const char c : text)
    if (c != '\r') out += static_cast<char>(c >= 'a' && c <= 'z' ? c - ('a' - 'A') : c);
  return out;
}

}  // namespace

std::optional<MeterFault> parse_meter_fault(std::string_view text) {
  for (const auto& [name, fault] : faults)
    if (name == text) return fault;
  return std::nullopt;
}

std::string_view meter_fault_names() { return "none, silent, garbage, over, under, nan, hang-up, endless"; }

std::string SimulatedMeter::power_text(double seconds) {
  const auto level = settings_.level_dbm.find(wavelength_nm_);
  if (level == settings_.level_dbm.end()) return "-9.9E+37";
  // A sum of twelve uniform numbers: the same on every machine, which the library's normal numbers are not.
  double noise = -6;
  for (int i = 0; i < 12; ++i) noise += static_cast<double>(random_()) / 4294967296.0;
  const double dbm =
      level->second + settings_.drift_db_per_hour * seconds / 3600 + settings_.noise_db * noise;
  return settings_.in_watts ? fmt::format("{:.5E}", std::pow(10, dbm / 10) / 1000)
                            : fmt::format("{:+.3f}", dbm);
}

MeterAnswer SimulatedMeter::answer(std::string_view given, double seconds) {
  const std::string command = upper(given);
  const std::string_view text = command;
  if (text.starts_with("SIM:FAULT ")) {
    fault_ = parse_meter_fault(given.substr(10, given.find('\r', 10) - 10)).value_or(MeterFault::none);
    return {};
  }
  if (text.starts_with("SIM:LEVEL ")) {
    const auto nm = number_at(text.substr(10));
    const std::size_t comma = text.find(',');
    const auto level = comma == std::string_view::npos ? std::nullopt : number_at(text.substr(comma + 1));
    if (nm && level) settings_.level_dbm[static_cast<int>(*nm)] = *level;
    return {};
  }
  if (text.starts_with("SENS:POW:WAV ")) {
    if (const auto nm = number_at(text.substr(13))) wavelength_nm_ = static_cast<int>(std::lround(*nm));
    return {};
  }
  if (!text.ends_with('?') || fault_ == MeterFault::silent) return {};
  if (fault_ == MeterFault::hang_up) return {{}, true};
  if (fault_ == MeterFault::endless) return {std::string(10000, '7'), false};
  if (text == "*IDN?") return {"STRANDBOOK,SIMULATED METER,0001,1.0" + settings_.line_end, false};
  if (text == "SENS:POW:WAV?")
    return {fmt::format("{:.3E}", wavelength_nm_ * 1e-9) + settings_.line_end, false};
  if (text != "READ:POW?") return {"**ERROR" + settings_.line_end, false};
  if (fault_ == MeterFault::garbage) return {"\x01\xff?--.dBm" + settings_.line_end, false};
  if (fault_ == MeterFault::over_range) return {"9.9E+37" + settings_.line_end, false};
  if (fault_ == MeterFault::under_range) return {"-9.9E+37" + settings_.line_end, false};
  if (fault_ == MeterFault::not_a_number) return {"9.91E+37" + settings_.line_end, false};
  return {power_text(seconds) + settings_.line_end, false};
}

}  // namespace strandbook
