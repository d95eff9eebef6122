#include "workflow/rule_view.hpp"

#include <fmt/format.h>

#include "edge/exchange/file_bytes.hpp"
#include "edge/exchange/json_members.hpp"
#include "workflow/know_rules.hpp"

namespace strandbook {
namespace {

std::string cords_words(const std::optional<CordGrade>& cords) {
  return cords ? fmt::format(", {} cords", text_of(*cords)) : std::string{};
}

RuleSection attenuation(const RuleSet& rule) {
  RuleSection section{"Attenuation of cabled fibre", {}};
  for (const AttenuationRow& row : rule.attenuation)
    section.rows.push_back({fmt::format("{} {} at {} nm", text_of(row.fibre), text_of(row.plant),
                                        row_number_text(row.wavelength.value)),
                            row_number_text(row.value.value), "dB/km", row.source});
  return section;
}

RuleSection joints(const RuleSet& rule) {
  RuleSection section{"Connections and splices", {}};
  for (const ConnectionRow& row : rule.connections)
    section.rows.push_back(
        {fmt::format("{}, {}{}", row.place == ConnectionPlace::end ? "end connection" : "embedded connection",
                     text_of(row.mode), cords_words(row.cords)),
         row_number_text(row.value.value), "dB", row.source});
  for (const SpliceRow& row : rule.splices)
    section.rows.push_back(
        {fmt::format("splice, {}", text_of(row.mode)), row_number_text(row.value.value), "dB", row.source});
  for (const ReferenceJoinRow& row : rule.reference_joins)
    section.rows.push_back(
        {fmt::format("join inside the reference, {}{}", text_of(row.mode), cords_words(row.cords)),
         row_number_text(row.value.value), "dB", row.source});
  return section;
}

RuleSection wholes(const RuleSet& rule) {
  RuleSection section{"Fixed terms and whole-link limits", {}};
  for (const FixedTermRow& row : rule.fixed_terms)
    section.rows.push_back({row.name, row_number_text(row.value.value), "dB", row.source});
  for (const auto& row : rule.whole_link_limits) {
    std::string what = "whole link";
    if (row.wavelength.value > 0) what += fmt::format(" at {} nm", row_number_text(row.wavelength.value));
    if (row.mode) what += fmt::format(", {}", text_of(*row.mode));
    section.rows.push_back({what, row_number_text(row.value.value), "dB", row.source});
  }
  if (rule.statistical)
    section.rows.push_back({"statistical budget, coverage k", row_number_text(rule.statistical->coverage), "",
                            rule.statistical->source});
  return section;
}

RuleSection demands(const RuleSet& rule) {
  RuleSection section{"What must be tested", {}};
  for (const DemandRow& row : rule.demands) {
    std::string list;
    for (const Nanometres each : row.wavelengths)
      list += (list.empty() ? "" : ", ") + row_number_text(each.value);
    section.rows.push_back(
        {fmt::format("{}, {}", text_of(row.mode),
                     row.directions == DirectionDemand::both ? "both directions" : "either direction"),
         list, "nm", row.source});
  }
  for (const LengthCeilingRow& row : rule.length_ceilings)
    section.rows.push_back(
        {fmt::format("longest, {}", text_of(row.mode)), row_number_text(row.value.value), "m", row.source});
  for (const WavelengthAlias& row : rule.aliases)
    section.rows.push_back(
        {fmt::format("{} nm, {}, counts as", row_number_text(row.found.value), text_of(row.mode)),
         row_number_text(row.counts_as.value), "nm", row.source});
  for (const ConfigurationDefault& row : rule.configuration_defaults)
    section.rows.push_back({fmt::format("configuration where none is stated, {}", text_of(row.method)),
                            std::string(text_of(row.configuration)), "", row.source});
  return section;
}

}  // namespace

std::string row_number_text(double value) { return fmt::format("{:.10g}", value); }

std::vector<RuleSection> sections_of(const RuleSet& rule) {
  std::vector<RuleSection> sections;
  for (RuleSection& section : std::vector{attenuation(rule), joints(rule), wholes(rule), demands(rule)})
    if (!section.rows.empty()) sections.push_back(std::move(section));
  return sections;
}

void append_section_json(std::string& out, const RuleSection& section) {
  JsonMembers members(out);
  members.text("title", section.title);
  members.name("rows");
  append_json_list(out, section.rows, [&](const RuleRow& row) {
    JsonMembers each(out);
    each.text("what", row.what);
    each.text("value", row.value);
    each.text("unit", row.unit);
    each.text("source", describe(row.source));
    each.text("standing", text_of(row.source.standing));
    each.text("note", row.source.note);
    each.end();
  });
  members.end();
}

Result<std::string> shipped_rule_text(const std::string& id) {
  const Result<std::string> folder = find_rules_folder();
  if (!folder) return folder.problem();
  return read_file_bytes(*folder + "/" + id + "/cabling.json");
}

}  // namespace strandbook
