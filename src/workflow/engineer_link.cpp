#include "workflow/engineer_link.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "edge/exchange/link_model_file.hpp"
#include "workflow/know_rules.hpp"

namespace strandbook {
namespace {

constexpr std::size_t curve_points = 101;
constexpr double curve_beyond = 1.25;
constexpr Metres longest{200'000};
constexpr Decibels most_loss{60};

Problem wanted(const char* option, double found, const char* what) {
  return {{option, {}, 0, {}}, fmt::format("{}", found), what, ""};
}

std::optional<Problem> out_of_range(const EngineerQuestion& question) {
  // Written so that NaN is refused too.
  if (!(question.length.value > 0 && question.length <= longest))
    return wanted("--length", question.length.value, "metres above 0, at most 200000");
  if (!(question.connections.value >= 0 && question.connections <= most_loss))
    return wanted("--connection-loss", question.connections.value, "dB from 0 to 60");
  return std::nullopt;
}

struct OwnFigure {
  std::optional<double> value;
  double LinkModelInputs::*member;
  const char* option;
};

std::array<OwnFigure, 3> own_figures(const EngineerQuestion& question) {
  return {{{question.attenuation_db_per_km, &LinkModelInputs::attenuation_db_per_km, "--attenuation"},
           {question.modal_bandwidth_mhz_km, &LinkModelInputs::modal_bandwidth_mhz_km, "--modal-bandwidth"},
           {question.rms_width_nm, &LinkModelInputs::rms_width_nm, "--spectral-width"}}};
}

std::optional<Problem> misfit(const LinkModelRow& row, const EngineerQuestion& question) {
  if (question.modal_bandwidth_mhz_km && row.inputs.dgd_max_ps > 0)
    return Problem{{"--modal-bandwidth", {}, 0, {}},
                   "a modal bandwidth over single-mode fibre",
                   "no such figure: single-mode fibre has one mode",
                   "Leave it out."};
  if (!question.attenuation_db_per_km && needs_own_attenuation(row, question.fibre))
    return Problem{{"--attenuation", {}, 0, {}},
                   question.fibre + ", whose cable may lose more than the model's fibre",
                   fmt::format("the attenuation of the cable at {} nm, dB/km", row.inputs.attenuation_at_nm),
                   fmt::format("The model takes {} dB/km.", row.inputs.attenuation_db_per_km)};
  return std::nullopt;
}

Result<LinkModelRow> row_with_own_figures(LinkModelRow row, const EngineerQuestion& question) {
  for (const OwnFigure& own : own_figures(question)) {
    if (!own.value) continue;
    const std::string before = fmt::format("in place of {}", row.inputs.*own.member);
    Result<LinkModelRow> changed = with_own_input(std::move(row), own.member, *own.value, before);
    if (!changed) {
      Problem problem = changed.problem();
      problem.at.file = own.option;
      return problem;
    }
    row = std::move(*changed);
  }
  return row;
}

void note_figures(EngineeredLink& link) {
  std::string own;
  std::string recalled;
  for (const SourcedInput& input : link.row.given) {
    const Standing standing = input.source.standing;
    if (standing != Standing::own && standing != Standing::from_memory) continue;
    std::string& list = standing == Standing::own ? own : recalled;
    list += fmt::format("{}{} {}{}{}", list.empty() ? "" : ", ", input.field->name, input.value,
                        input.field->unit.empty() ? "" : " ", input.field->unit);
    if (standing == Standing::own) list += " (" + input.source.note + ")";
  }
  if (!own.empty()) link.notes.push_back("Own figures: " + own + ".");
  if (!recalled.empty())
    link.notes.push_back(
        "This answer rests on numbers from memory, to be checked against the document: " + recalled + ".");
}

void note_standard(EngineeredLink& link) {
  const LossSplit& standard = link.of_the_standard;
  if (link.question.length > standard.length)
    link.notes.push_back(fmt::format(
        "Longer than the {} m of the standard: an engineered link, to be agreed with the owner and the "
        "maker of the transceivers.",
        standard.length.value));
  else if (!at_most(link.question.connections, standard.connections))
    link.notes.push_back(
        fmt::format("More than the {} dB that the standard grants connections: an engineered link.",
                    standard.connections.value));
  if (!link.question.attenuation_db_per_km)
    link.notes.push_back(fmt::format("The cable is taken to lose {} dB/km at {} nm.",
                                     link.row.inputs.attenuation_db_per_km,
                                     link.row.inputs.attenuation_at_nm));
}

void add_lengths(EngineeredLink& link) {
  const Metres length = link.question.length;
  const LinkMargin margin(link.row.inputs);
  link.reach = margin.reach(link.question.connections);
  if (const std::optional<Decibels> most = margin.most_connections(length))
    link.here = LossSplit{length, link.result.fibre_loss, *most};
  const double far =
      std::max({length.value, link.reach.value_or(Metres{0}).value, link.of_the_standard.length.value});
  link.curve = link_curve(link.row.inputs, link.question.connections, {far * curve_beyond}, curve_points);
}

}  // namespace

Result<EngineeredLink> engineer_link(const LinkModelTable& table, const EngineerQuestion& question) {
  if (auto problem = out_of_range(question)) return *problem;
  const Result<const LinkModelRow*> found = find_link_model_row(table, question.application, question.fibre);
  if (!found) return found.problem();
  if (auto problem = misfit(**found, question)) return *problem;
  const LinkModelRow& published = **found;
  Result<LinkModelRow> row = row_with_own_figures(published, question);
  if (!row) return row.problem();
  EngineeredLink link;
  link.question = question;
  link.row = std::move(*row);
  link.result = evaluate(link.row.inputs, question.length, question.connections);
  link.carries = std::isfinite(link.result.margin.value) && at_most({0}, link.result.margin);
  const Metres target{published.inputs.target_length_m};
  link.of_the_standard = {target, model_attenuation(published.inputs) * target,
                          published.connection_allocation};
  add_lengths(link);
  note_figures(link);
  note_standard(link);
  link.notes.insert(link.notes.end(), link.row.notes.begin(), link.row.notes.end());
  return link;
}

Result<EngineeredLink> engineer_link(const EngineerQuestion& question) {
  const Result<std::string> folder = find_rules_folder();
  if (!folder) return folder.problem();
  const Result<LinkModelTable> table = read_link_models(*folder);
  if (!table) return table.problem();
  return engineer_link(*table, question);
}

}  // namespace strandbook
