#include "domain/applications/link_model_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>

namespace strandbook {
namespace {

using enum InputUse;
using In = LinkModelInputs;

constexpr std::array fields = std::to_array<LinkModelField>({
    {"rate", "MBd", &In::rate_mbd, 10, 30000, penalties},
    {"wavelength", "nm", &In::wavelength_nm, 700, 1700, loss},
    {"rms_width", "nm", &In::rms_width_nm, 0.0001, 20, penalties},
    {"transmit_power", "dBm", &In::transmit_dbm, -40, 20, penalties},
    {"sensitivity", "dBm", &In::sensitivity_dbm, -50, 10, penalties},
    {"source_rise_20_80", "ps", &In::source_rise_20_80_ps, 1, 10000, penalties},
    {"extinction_ratio", "dB", &In::extinction_ratio_db, 1, 30, penalties},
    {"relative_intensity_noise", "dB/Hz", &In::rin_db_per_hz, -180, -90, penalties},
    {"mode_partition_k", "", &In::mode_partition_k, 0, 1, penalties},
    {"modal_noise", "dB", &In::modal_noise_db, 0, 2, penalties},
    {"transmitter_reflectance", "dB", &In::transmitter_reflectance_db, -60, 0, penalties},
    {"receiver_reflectance", "dB", &In::receiver_reflectance_db, -60, 0, penalties},
    {"reflection_count", "", &In::reflection_count, 0, 2, penalties},
    {"receiver_bandwidth", "MHz", &In::receiver_bandwidth_mhz, 10, 40000, penalties},
    {"deterministic_jitter", "ps", &In::deterministic_jitter_ps, 0, 1000, penalties},
    {"duty_cycle_distortion", "ps", &In::duty_cycle_distortion_ps, 0, 1000, penalties},
    {"baseline_wander", "", &In::baseline_wander, 0, 0.1, penalties},
    {"attenuation", "dB/km", &In::attenuation_db_per_km, 0.05, 20, loss},
    {"attenuation_at", "nm", &In::attenuation_at_nm, 700, 1700, loss},
    {"attenuation_normaliser", "", &In::attenuation_normaliser, 1, 6, loss},
    {"zero_dispersion", "nm", &In::zero_dispersion_nm, 1200, 1600, penalties},
    {"dispersion_slope", "ps/(nm²·km)", &In::dispersion_slope, 0.01, 0.2, penalties},
    {"modal_bandwidth", "MHz·km", &In::modal_bandwidth_mhz_km, 10, 100000, fibre},
    {"dgd_max", "ps", &In::dgd_max_ps, 0.1, 1000, fibre},
    {"attenuation_floor", "", &In::attenuation_floor, 0, 5, loss},
    {"attenuation_per_nm", "1/nm", &In::attenuation_per_nm, 0.0001, 0.01, loss},
    {"width_slope_share", "", &In::width_slope_share, 0.01, 2, penalties},
    {"chromatic_bandwidth", "MHz·ps", &In::chromatic_bandwidth_mhz_ps, 1e4, 1e6, penalties},
    {"fibre_rise", "MHz·ps", &In::fibre_rise_mhz_ps, 1e5, 1e6, penalties},
    {"receiver_rise", "MHz·ps", &In::receiver_rise_mhz_ps, 1e5, 1e6, penalties},
    {"source_rise_ratio", "", &In::source_rise_ratio, 1, 2, penalties},
    {"eye_sharpness", "", &In::eye_sharpness, 1, 5, penalties},
    {"mode_partition_pi", "", &In::mode_partition_pi, 3, 3.2, penalties},
    {"rin_bandwidth_factor", "", &In::rin_bandwidth_factor, 0.1, 2, penalties},
    {"rin_receiver_share", "", &In::rin_receiver_share, 0.1, 2, penalties},
    {"quality", "", &In::quality, 3, 9, penalties},
    {"window_edge", "UI", &In::window_edge_ui, 0.1, 0.5, penalties},
});

/// "62.5/125 µm, 200 MHz.km" and "62.5/125um 200MHz·km" are one name.
bool names(std::string_view pattern, std::string_view text) {
  if (pattern.ends_with('*')) return bare_word(text).starts_with(bare_word(pattern));
  return bare_word(pattern) == bare_word(text);
}

bool any_names(const std::vector<std::string>& patterns, std::string_view text) {
  return std::any_of(patterns.begin(), patterns.end(), [&](const std::string& p) { return names(p, text); });
}

bool holds(const std::vector<FibreCategory>& categories, std::optional<FibreCategory> category) {
  return category && std::find(categories.begin(), categories.end(), *category) != categories.end();
}

bool is_over(const LinkModelRow& row, std::string_view fibre) {
  const std::optional<FibreCategory> category = parse_fibre_category(fibre);
  return names(row.fibre, fibre) || any_names(row.fibre_names, fibre) || holds(row.categories, category) ||
         holds(row.categories_with_own_attenuation, category);
}

void add_listed(std::string& list, std::string_view item) {
  if (!list.empty()) list += ", ";
  list += item;
}

constexpr const char* instead =
    "Use the published table of that application: its maximum length and channel loss, both as printed.";

Problem no_application(const LinkModelTable& table, std::string_view application) {
  for (const OutsideLinkModel& each : table.outside)
    if (any_names(each.applications, application))
      return {{"--application", {}, 0, {}},
              fmt::format("{}: {}", application, each.why),
              "an application for which the link model holds (two-level signal, no error correction)",
              instead};
  std::string known;
  for (const LinkModelRow& row : table.rows)
    if (known.find(row.applications.front()) == std::string::npos)
      add_listed(known, row.applications.front());
  return {{"--application", {}, 0, {}},
          fmt::format("\"{}\", for which there are no inputs to the link model", application),
          "one of " + known,
          instead};
}

Problem no_fibre(const LinkModelTable& table, std::string_view application, std::string_view fibre) {
  std::string known;
  for (const LinkModelRow& row : table.rows)
    if (any_names(row.applications, application)) {
      for (const FibreCategory category : row.categories) add_listed(known, text_of(category));
      if (!row.fibre_names.empty()) add_listed(known, row.fibre_names.front());
    }
  return {{"--fibre", {}, 0, {}},
          fmt::format("\"{}\" with {}", fibre, application),
          "one of " + known,
          "State the cable's own figures with --modal-bandwidth and --attenuation on the nearest of these."};
}

}  // namespace

std::span<const LinkModelField> link_model_fields() { return fields; }

const LinkModelField& field_of(double LinkModelInputs::*member) {
  const auto* at = std::find_if(fields.begin(), fields.end(),
                                [&](const LinkModelField& field) { return field.member == member; });
  assert(at != fields.end());
  return *at;
}

Result<const LinkModelRow*> find_link_model_row(const LinkModelTable& table, std::string_view application,
                                                std::string_view fibre) {
  const auto known = std::any_of(table.rows.begin(), table.rows.end(), [&](const LinkModelRow& row) {
    return any_names(row.applications, application);
  });
  if (!known) return no_application(table, application);
  for (const LinkModelRow& row : table.rows) {
    if (!any_names(row.applications, application) || !is_over(row, fibre)) continue;
    if (row.penalties_unknown.empty()) return &row;
    return Problem{{"--application", {}, 0, {}},
                   fmt::format("{} over {}: {}", row.applications.front(), row.fibre, row.penalties_unknown),
                   "an application whose penalties can be computed",
                   instead};
  }
  return no_fibre(table, application, fibre);
}

bool needs_own_attenuation(const LinkModelRow& row, std::string_view fibre) {
  return holds(row.categories_with_own_attenuation, parse_fibre_category(fibre));
}

Result<LinkModelRow> with_own_input(LinkModelRow row, double LinkModelInputs::*member, double value,
                                    std::string note) {
  const LinkModelField& field = field_of(member);
  if (!(value >= field.least && value <= field.most))
    return Problem{{std::string{field.name}, {}, 0, {}},
                   fmt::format("{}", value),
                   fmt::format("{} to {} {}", field.least, field.most, field.unit),
                   ""};
  row.inputs.*member = value;
  const RuleRef source{"own figure", {}, {}, Standing::own, std::move(note)};
  for (SourcedInput& input : row.given)
    if (input.field == &field) input = {&field, value, source};
  return row;
}

bool rests_on_memory(const LinkModelRow& row) {
  return std::any_of(row.given.begin(), row.given.end(), [](const SourcedInput& input) {
    return input.source.standing == Standing::from_memory;
  });
}

}  // namespace strandbook
