#include "domain/rulebook/rule_lookup.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <vector>

namespace strandbook {
namespace {

template <class Row, class Matches>
const Row* first(const std::vector<Row>& rows, Matches matches) {
  const auto at = std::find_if(rows.begin(), rows.end(), matches);
  return at == rows.end() ? nullptr : &*at;
}

/// The row that names the grade; else the row that names none.
template <class Row, class Matches>
const Row* by_cords(const std::vector<Row>& rows, std::optional<CordGrade> cords, Matches matches) {
  if (cords) {
    if (const Row* named = first(rows, [&](const Row& r) { return matches(r) && r.cords == cords; }))
      return named;
  }
  return first(rows, [&](const Row& r) { return matches(r) && !r.cords; });
}

std::string wavelengths_of(const RuleSet& rule, FibreCategory fibre) {
  std::set<Nanometres> nominal;
  for (const AttenuationRow& row : rule.attenuation)
    if (row.fibre == fibre) nominal.insert(row.wavelength);
  std::string text;
  for (const Nanometres at : nominal) text += fmt::format("{}{}", text.empty() ? "" : ", ", at.value);
  return text.empty() ? text : text + " nm";
}

}  // namespace

const RuleSet* find_rule(const Rulebook& rulebook, std::string_view id) {
  return first(rulebook, [&](const RuleSet& rule) { return rule.id == id; });
}

const AttenuationRow* attenuation_row(const RuleSet& rule, FibreCategory fibre, Plant plant, Nanometres at) {
  const auto of_plant = [&](Plant wanted) {
    return first(rule.attenuation, [&](const AttenuationRow& row) {
      return row.fibre == fibre && row.plant == wanted && row.wavelength == at;
    });
  };
  const AttenuationRow* named = of_plant(plant);
  return named != nullptr ? named : of_plant(Plant::unstated);
}

const ConnectionRow* connection_row(const RuleSet& rule, FibreMode mode, ConnectionPlace place,
                                    std::optional<CordGrade> cords) {
  return by_cords(rule.connections, cords,
                  [&](const ConnectionRow& row) { return row.mode == mode && row.place == place; });
}

const SpliceRow* splice_row(const RuleSet& rule, FibreMode mode) {
  return first(rule.splices, [&](const SpliceRow& row) { return row.mode == mode; });
}

const ReferenceJoinRow* reference_join_row(const RuleSet& rule, FibreMode mode,
                                           std::optional<CordGrade> cords) {
  return by_cords(rule.reference_joins, cords, [&](const ReferenceJoinRow& row) { return row.mode == mode; });
}

const LengthCeilingRow* length_ceiling_row(const RuleSet& rule, FibreMode mode) {
  return first(rule.length_ceilings, [&](const LengthCeilingRow& row) { return row.mode == mode; });
}

const WavelengthAlias* alias_row(const RuleSet& rule, FibreMode mode, Nanometres found) {
  return first(rule.aliases,
               [&](const WavelengthAlias& row) { return row.mode == mode && row.found == found; });
}

const ConfigurationDefault* configuration_row(const RuleSet& rule, ReferenceMethod method) {
  return first(rule.configuration_defaults,
               [&](const ConfigurationDefault& row) { return row.method == method; });
}

const DemandRow* demand_on(const std::vector<DemandRow>& demands, FibreMode mode) {
  return first(demands, [&](const DemandRow& row) { return row.mode == mode; });
}

const RuleSet::WholeLinkLimit* whole_link_row(const RuleSet& rule, std::optional<FibreMode> mode,
                                              Nanometres at) {
  const auto closeness = [&](const RuleSet::WholeLinkLimit& row) {
    if (row.mode && row.mode != mode) return 0;
    if (row.wavelength.value != 0 && row.wavelength != at) return 0;
    return 1 + (row.mode ? 1 : 0) + (row.wavelength.value != 0 ? 2 : 0);
  };
  const RuleSet::WholeLinkLimit* closest = nullptr;
  for (const RuleSet::WholeLinkLimit& row : rule.whole_link_limits)
    if (closeness(row) > (closest != nullptr ? closeness(*closest) : 0)) closest = &row;
  return closest;
}

bool depends_on_plant(const RuleSet& rule, FibreCategory fibre, Nanometres at) {
  return first(rule.attenuation, [&](const AttenuationRow& row) {
           return row.fibre == fibre && row.wavelength == at && row.plant != Plant::unstated;
         }) != nullptr;
}

bool depends_on_cords(const RuleSet& rule, FibreMode mode) {
  const auto named = [&](const auto& row) { return row.mode == mode && row.cords.has_value(); };
  return first(rule.connections, named) != nullptr || first(rule.reference_joins, named) != nullptr;
}

std::string attenuation_offered(const RuleSet& rule, FibreCategory fibre) {
  std::string text = wavelengths_of(rule, fibre);
  if (!text.empty()) return text;
  std::set<FibreCategory> fibres;
  for (const AttenuationRow& row : rule.attenuation) fibres.insert(row.fibre);
  for (const FibreCategory each : fibres)
    text += fmt::format("{}{} ({})", text.empty() ? "" : ", ", text_of(each), wavelengths_of(rule, each));
  return text;
}

}  // namespace strandbook
