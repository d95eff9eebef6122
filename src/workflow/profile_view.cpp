#include "workflow/profile_view.hpp"

#include <fmt/format.h>

#include "edge/exchange/json_members.hpp"

namespace strandbook {
namespace {

using Rows = std::vector<RuleRow>;

std::string listed(const std::vector<Nanometres>& wavelengths) {
  std::string list;
  for (const Nanometres each : wavelengths) list += (list.empty() ? "" : ", ") + row_number_text(each.value);
  return list;
}

std::string_view words_of(DirectionDemand demand) {
  return demand == DirectionDemand::both ? "both directions" : "either direction";
}

template <class Unit>
double plain(const Unit& unit) {
  if constexpr (std::is_arithmetic_v<Unit>)
    return static_cast<double>(unit);
  else
    return unit.value;
}

template <class Unit>
void add(Rows& rows, std::string what, const std::optional<Sourced<Unit>>& demand, const char* unit) {
  if (demand) rows.push_back({std::move(what), row_number_text(plain(demand->value)), unit, demand->source});
}

/// Demands that are words only.
template <class T>
void add_words(Rows& rows, const std::string& before, const std::vector<Sourced<T>>& demands) {
  for (const Sourced<T>& each : demands)
    rows.push_back({before + std::string(text_of(each.value)), "", "", each.source});
}

RuleSection tested(const OwnerProfile& profile) {
  RuleSection section{"What is tested", {}};
  Rows& rows = section.rows;
  for (const DemandRow& row : profile.demands)
    rows.push_back({fmt::format("{}, {}", text_of(row.mode), words_of(row.directions)),
                    listed(row.wavelengths), "nm", row.source});
  if (profile.mean_of_directions)
    rows.push_back({"mean of both directions is stated", "", "", *profile.mean_of_directions});
  if (profile.reference_method)
    rows.push_back({"reference method", std::string(text_of(profile.reference_method->value)), "",
                    profile.reference_method->source});
  add_words(rows, "", profile.conditions);
  add_words(rows, "test stage: ", profile.stages);
  if (profile.long_spans)
    rows.push_back(
        {fmt::format("above {} m only these count", row_number_text(profile.long_spans->above.value.value)),
         listed(profile.long_spans->counted), "nm", profile.long_spans->above.source});
  return section;
}

RuleSection decided(const OwnerProfile& profile) {
  RuleSection section{"Near the limit", {}};
  if (!profile.decision) return section;
  const DecisionRule& rule = *profile.decision;
  section.rows = {{"guard band", std::string(text_of(rule.guard)), "", rule.source},
                  {"conditional pass", std::string(text_of(rule.conditional_pass)), "", rule.source},
                  {"conditional fail", std::string(text_of(rule.conditional_fail)), "", rule.source}};
  return section;
}

std::string words_of(const SpliceDemand& demand) {
  std::string words{text_of(demand.joint)};
  const auto more = [&](std::string_view word) { words += fmt::format(", {}", word); };
  if (demand.count == SpliceCount::span_mean) more(text_of(demand.count));
  if (demand.method) more(text_of(*demand.method));
  if (demand.mode) more(text_of(*demand.mode));
  if (demand.wavelength) more(row_number_text(demand.wavelength->value) + " nm");
  if (demand.measure) more(text_of(*demand.measure));
  if (demand.stage) more(text_of(*demand.stage));
  return words;
}

void add_splice(Rows& rows, const SpliceDemand& demand) {
  const std::string words = words_of(demand);
  rows.push_back({words, row_number_text(demand.limit.value.value), "dB", demand.limit.source});
  add(rows, words + ", nominal", demand.nominal, "dB");
  add(rows, words + ", mode fields differ", demand.mismatched, "dB");
  if (demand.relaxed)
    rows.push_back({fmt::format("{}, from attempt {} on, {}", words, demand.relaxed->attempts,
                                demand.relaxed->consequence),
                    row_number_text(demand.relaxed->limit.value.value), "dB", demand.relaxed->limit.source});
}

RuleSection joints(const OwnerProfile& profile) {
  RuleSection section{"Splices, connections, reels", {}};
  for (const SpliceDemand& demand : profile.splices) add_splice(section.rows, demand);
  add(section.rows, "splices, at most", profile.splices_per_km_most, "1/km");
  for (const ReturnLossDemand& row : profile.return_loss)
    section.rows.push_back(
        {fmt::format("return loss, {}, {}, at least", text_of(row.mode), words_of(row.directions)),
         row_number_text(row.least.value.value), "dB", row.least.source});
  add(section.rows, "reel off its maker's record, at most", profile.reel_deviation_most, "%");
  return section;
}

RuleSection traces(const OwnerProfile& profile) {
  RuleSection section{"Traces", {}};
  if (!profile.otdr) return section;
  const OtdrDemand& otdr = *profile.otdr;
  Rows& rows = section.rows;
  if (otdr.wavelengths)
    rows.push_back({"wavelengths", listed(otdr.wavelengths->value), "nm", otdr.wavelengths->source});
  if (otdr.directions)
    rows.push_back({std::string(words_of(otdr.directions->value)), "", "", otdr.directions->source});
  add(rows, "launch cord, at least", otdr.launch_cord_least, "m");
  add(rows, "launch cord, part of the dead zone, at least", otdr.launch_cord_dead_zone, "%");
  add(rows, "pulse, at most", otdr.pulse_most, "ns");
  add(rows, "smallest event shown", otdr.smallest_event, "dB");
  add(rows, "averages, at least", otdr.averages_least, "");
  add(rows, "range, at most", otdr.range_most, "m");
  for (const IndexDemand& row : otdr.indices)
    rows.push_back({fmt::format("group index at {} nm", row_number_text(row.wavelength.value)),
                    row_number_text(row.index.value), "", row.index.source});
  return section;
}

RuleSection recorded(const OwnerProfile& profile) {
  RuleSection section{"What is recorded", {}};
  add_words(section.rows, "", profile.records);
  if (profile.length_unit)
    section.rows.push_back(
        {"lengths in", "", std::string(text_of(profile.length_unit->value)), profile.length_unit->source});
  add(section.rows, "age of a calibration, at most", profile.calibration_months_most, "months");
  return section;
}

void add_days(Rows& rows, const char* what, const std::optional<DayLimit>& limit) {
  if (limit)
    rows.push_back({what, row_number_text(limit->days), std::string(text_of(limit->count)), limit->source});
}

RuleSection handed_over(const OwnerProfile& profile) {
  RuleSection section{"What is handed over, and by when", {}};
  Rows& rows = section.rows;
  for (const HandoverDemand& each : profile.handover)
    rows.push_back({std::string(text_of(each.form)),
                    each.copies > 1 ? row_number_text(each.copies) : std::string(),
                    each.copies > 1 ? "copies" : "", each.source});
  add_words(rows, "refused: ", profile.refused_forms);
  add_days(rows, "notice before the test", profile.notice);
  add_days(rows, "results after the test, within", profile.results_within);
  add(rows, "records kept", profile.records_kept_years, "years");
  return section;
}

RuleSection after_a_failure(const OwnerProfile& profile) {
  RuleSection section{"After a failure", {}};
  add_words(section.rows, "", profile.retest);
  return section;
}

RuleSection in_words(const OwnerProfile& profile) {
  RuleSection section{"In words", {}};
  for (const auto& each : profile.in_words) section.rows.push_back({each.value, "", "", each.source});
  return section;
}

}  // namespace

std::vector<RuleSection> sections_of(const OwnerProfile& profile) {
  std::vector<RuleSection> sections;
  for (RuleSection& section :
       std::vector{tested(profile), decided(profile), joints(profile), traces(profile), recorded(profile),
                   handed_over(profile), after_a_failure(profile), in_words(profile)})
    if (!section.rows.empty()) sections.push_back(std::move(section));
  if (!profile.own_rule) return sections;
  for (RuleSection& section : sections_of(*profile.own_rule)) {
    section.title = fmt::format("Rule {}: {}", profile.own_rule->id, section.title);
    sections.push_back(std::move(section));
  }
  return sections;
}

std::string profile_line_json(const OwnerProfile& profile) {
  std::string out;
  JsonMembers members(out);
  members.text("id", profile.id);
  members.text("title", profile.title);
  members.text("kind", profile.kind);
  members.maybe_text("rule", profile.rule);
  members.text("document", profile.document);
  members.text("edition", profile.edition);
  members.text("note", profile.note);
  members.end();
  return out;
}

std::string profile_json(const OwnerProfile& profile) {
  std::string out;
  JsonMembers members(out);
  members.raw("profile", profile_line_json(profile));
  members.name("sections");
  append_json_list(out, sections_of(profile),
                   [&](const RuleSection& section) { append_section_json(out, section); });
  members.end();
  return out;
}

}  // namespace strandbook
