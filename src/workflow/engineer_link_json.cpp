#include <cmath>

#include "edge/exchange/json_members.hpp"
#include "workflow/engineer_link.hpp"

namespace strandbook {
namespace {

/// A closed eye has no finite penalty, and JSON no infinity.
std::optional<double> finite(double value) {
  return std::isfinite(value) ? std::optional(value) : std::nullopt;
}

std::string split_json(const LossSplit& split) {
  std::string out;
  JsonMembers members(out);
  members.number("length_m", split.length.value);
  members.number("loss_limit_db", (split.fibre + split.connections).value);
  members.number("fibre_db", split.fibre.value);
  members.number("connections_db", split.connections.value);
  members.end();
  return out;
}

std::string signal_json(const LinkModelResult& result) {
  std::string out;
  JsonMembers members(out);
  members.number("attenuation_db_per_km", result.attenuation.value);
  members.number("dispersion_ps_per_nm_km", result.dispersion_ps_nm_km);
  members.number("chromatic_bandwidth_mhz", result.chromatic_bandwidth_mhz);
  members.number("modal_bandwidth_mhz", result.modal_bandwidth_mhz);
  members.number("rise_after_fibre_ps", result.fibre_exit_rise_ps);
  members.number("rise_after_receiver_ps", result.receiver_exit_rise_ps);
  members.quantity("stressed_sensitivity_dbm", result.stressed_sensitivity);
  members.end();
  return out;
}

std::string penalties_json(const LinkModelResult& result) {
  std::string out;
  JsonMembers members(out);
  members.maybe_number("intersymbol_interference", finite(result.isi.value));
  members.maybe_number("jitter", finite(result.jitter.value));
  members.maybe_number("reflection", finite(result.reflection.value));
  members.maybe_number("mode_partition", finite(result.mode_partition.value));
  members.maybe_number("relative_intensity_noise", finite(result.relative_intensity.value));
  members.maybe_number("modal_noise", finite(result.modal_noise.value));
  members.maybe_number("interaction", finite(result.interaction.value));
  members.maybe_number("total", finite(result.penalties.value));
  members.maybe_number("window_corner_uncounted", finite(result.corner.value));
  members.maybe_number("baseline_wander_uncounted", finite(result.baseline_wander.value));
  members.end();
  return out;
}

std::string inputs_json(const LinkModelRow& row) {
  std::string out;
  append_json_list(out, row.given, [&](const SourcedInput& input) {
    JsonMembers members(out);
    members.text("name", input.field->name);
    members.number("value", input.value);
    members.text("unit", input.field->unit);
    members.text("source", describe(input.source));
    members.text("standing", text_of(input.source.standing));
    members.maybe_text("note", input.source.note);
    members.end();
  });
  return out;
}

std::string curve_json(const std::vector<LinkCurvePoint>& curve) {
  std::string out;
  append_json_list(out, curve, [&](const LinkCurvePoint& point) {
    JsonMembers members(out);
    members.number("length_m", point.length.value);
    members.number("fibre_db", point.fibre_loss.value);
    members.maybe_number("penalties_db", finite(point.penalties.value));
    members.maybe_number("margin_db", finite(point.margin.value));
    members.end();
  });
  return out;
}

}  // namespace

std::string engineered_link_json(const EngineeredLink& link) {
  std::string out;
  std::string notes;
  append_json_list(notes, link.notes, [&](const std::string& note) { append_json_text(notes, note); });
  JsonMembers members(out);
  members.text("application", link.row.applications.front());
  members.text("fibre", link.row.fibre);
  members.number("length_m", link.question.length.value);
  members.truth("carries", link.carries);
  members.truth("rests_on_memory", rests_on_memory(link.row));
  members.number("budget_db", link.result.budget.value);
  members.number("connections_db", link.question.connections.value);
  members.number("fibre_db", link.result.fibre_loss.value);
  members.raw("penalties_db", penalties_json(link.result));
  members.maybe_number("margin_db", finite(link.result.margin.value));
  members.quantity("reach_m", link.reach);
  members.raw("at_this_length", link.here ? split_json(*link.here) : "null");
  members.raw("of_the_standard", split_json(link.of_the_standard));
  members.raw("signal", signal_json(link.result));
  members.raw("notes", notes);
  members.raw("inputs", inputs_json(link.row));
  members.raw("curve", curve_json(link.curve));
  members.end();
  return out;
}

}  // namespace strandbook
