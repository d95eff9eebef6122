#include "domain/applications/application.hpp"

#include <type_traits>
#include <utility>

namespace strandbook {

std::string_view text_of(WavelengthUse use) {
  switch (use) {
    case WavelengthUse::one:
      return "one";
    case WavelengthUse::multiplexed:
      return "multiplexed";
    case WavelengthUse::per_direction:
      return "per direction";
  }
  return {};
}

std::string_view text_of(ApplicationFamily family) {
  switch (family) {
    case ApplicationFamily::ethernet:
      return "Ethernet";
    case ApplicationFamily::fibre_channel:
      return "Fibre Channel";
    case ApplicationFamily::passive_optical:
      return "passive optical network";
    case ApplicationFamily::telecom:
      return "telecom";
    case ApplicationFamily::legacy:
      return "legacy";
  }
  return {};
}

namespace {

class NumberList {
 public:
  template <class Unit>
  void add(std::string_view what, std::string_view unit, const std::optional<Sourced<Unit>>& number) {
    if (!number) return;
    if constexpr (std::is_same_v<Unit, double>)
      list_.push_back({what, number->value, unit, &number->source});
    else
      list_.push_back({what, number->value.value, unit, &number->source});
  }
  std::vector<NamedNumber> taken() { return std::move(list_); }

 private:
  std::vector<NamedNumber> list_;
};

void add_channel(const Application& row, NumberList& list) {
  list.add("reach", "m", row.max_length);
  list.add("largest loss of the channel", "dB", row.max_loss);
  list.add("largest loss, second direction", "dB", row.upstream_max_loss);
  list.add("least loss of the channel", "dB", row.min_loss);
  list.add("connections and splices", "dB", row.connection_allocation);
  list.add("additional loss allowed", "dB", row.additional_loss_allowed);
  list.add("power budget", "dB", row.power_budget);
  list.add("power budget, second direction", "dB", row.upstream_power_budget);
  list.add("penalties", "dB", row.penalties);
  list.add("cable attenuation, at most", "dB/km", row.cable_class);
  list.add("return loss of the channel, at least", "dB", row.channel_return_loss_min);
  list.add("reflectance of a connection, at most", "dB", row.discrete_reflectance_max);
  list.add("skew, at most", "ns", row.skew_max_ns);
  list.add("skew variation, at most", "ns", row.skew_variation_max_ns);
}

}  // namespace

std::vector<NamedNumber> numbers_of(const Application& row) {
  NumberList list;
  add_channel(row, list);
  list.add("launch power, least", "dBm", row.window.launch_min);
  list.add("launch power, most", "dBm", row.window.launch_max);
  list.add("receive power, least", "dBm", row.window.receive_min);
  list.add("receive power, most", "dBm", row.window.receive_max);
  list.add("damage to the receiver above", "dBm", row.window.damage);
  list.add("launch power, least, second direction", "dBm", row.upstream.launch_min);
  list.add("launch power, most, second direction", "dBm", row.upstream.launch_max);
  list.add("receive power, least, second direction", "dBm", row.upstream.receive_min);
  list.add("receive power, most, second direction", "dBm", row.upstream.receive_max);
  list.add("damage above, second direction", "dBm", row.upstream.damage);
  return list.taken();
}

}  // namespace strandbook
