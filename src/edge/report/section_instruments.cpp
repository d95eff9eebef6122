// References with their closing checks, and what the readings were taken with.

#include <fmt/format.h>

#include <cmath>
#include <map>
#include <tuple>

#include "domain/readings/reference_finder.hpp"
#include "edge/report/legible.hpp"
#include "edge/report/sections.hpp"
#include "edge/report/table.hpp"

namespace strandbook {
namespace {

std::string or_dash(std::string_view text) { return text.empty() ? "\u2014" : std::string(text); }

std::string setting_of(const Reference& reference, const Wording& words) {
  return words.plain(reference.meter_setting.value_or(reference.wavelength).value);
}

void references(const ReportPass& pass) {
  const auto& all = pass.view.all.references;
  pass.flow.heading("References and closing checks");
  if (all.empty()) {
    pass.flow.paragraph("No reference is recorded with this job.");
    return;
  }
  const ReferenceFinder finder(all, ReferencePractice{});
  Table table(pass.flow,
              {{"reference", 1.3},
               {"kind", 1.15},
               {"time", 2.5},
               {"\u03BB, nm", 0.8, Align::right},
               {"meter set to, nm", 0.9, Align::right},
               {"power, dBm", 1.05, Align::right},
               {"change at check, dB", 1.2, Align::right},
               {"method", 1.4},
               {"source", 1.8},
               {"meter", 1.8},
               {"cords", 1.2}},
              7.9);
  table.head();
  for (std::uint32_t i = 0; i < all.size(); ++i) {
    const Reference& reference = all[i];
    const bool opening = reference.kind == ReferenceKind::opening;
    const auto change = opening ? finder.change_of(i) : std::nullopt;
    table.wrapped_row({{or_dash(reference.id)},
                       {pass.words.say(opening ? "opening" : "closing"), opening ? Ink::ink : Ink::grey},
                       {reference.time ? pass.words.moment(*reference.time) : "\u2014"},
                       {pass.words.plain(reference.wavelength.value)},
                       {setting_of(reference, pass.words)},
                       {pass.words.decimal(reference.power.value, 2)},
                       {change    ? pass.words.change(change->value, 2)
                        : opening ? pass.words.say("no check")
                                  : std::string{},
                        Ink::ink},
                       {reference.method ? pass.words.say(text_of(*reference.method)) : "\u2014"},
                       {or_dash(reference.source)},
                       {or_dash(reference.meter)},
                       {or_dash(reference.cords)}});
    table.rule();
  }
}

struct Use {
  std::size_t readings = 0;
  std::map<double, std::size_t> wavelengths;
};

void instruments(const ReportPass& pass) {
  std::map<std::tuple<std::string_view, std::string_view, std::string_view, std::string_view>, Use> uses;
  for (const Reading& reading : pass.view.all.readings.rows) {
    Use& use = uses[{reading.source, reading.meter, reading.cords, reading.operator_name}];
    ++use.readings;
    ++use.wavelengths[reading.wavelength.value];
  }
  if (uses.empty()) return;
  pass.flow.heading("What the readings were taken with");
  Table table(pass.flow, {{"source", 2},
                          {"meter", 2},
                          {"cords", 2},
                          {"operator", 2},
                          {"wavelengths, nm", 1.4},
                          {"readings", 0.8, Align::right}});
  table.head();
  for (const auto& [key, use] : uses) {
    const auto& [source, meter, cords, person] = key;
    std::string wavelengths;
    for (const auto& [wavelength, count] : use.wavelengths)
      wavelengths += (wavelengths.empty() ? "" : ", ") +
                     (wavelength > 0 ? pass.words.plain(wavelength) : pass.words.say("not stated"));
    table.wrapped_row({{or_dash(source)},
                       {or_dash(meter)},
                       {or_dash(cords)},
                       {or_dash(person)},
                       {wavelengths},
                       {count_text(use.readings)}});
    table.rule();
  }
}

void calibrations(const ReportPass& pass) {
  const auto& all = pass.view.all.records.calibrations;
  if (all.empty()) return;
  pass.flow.heading("Calibration");
  Table table(
      pass.flow,
      {{"instrument", 2}, {"kind", 2}, {"certificate", 2}, {"calibrated on", 1.5}, {"valid through", 1.5}});
  table.head();
  for (const Calibration& each : all) {
    table.wrapped_row({{each.instrument},
                       {pass.words.cell(or_dash(each.kind))},
                       {or_dash(each.certificate)},
                       {pass.words.day(each.from)},
                       {pass.words.day(each.through)}});
    table.rule();
  }
}

void continuity(const ReportPass& pass) {
  const Assessment& all = pass.view.all;
  if (all.continuity.strands.empty()) return;
  pass.flow.heading("Where light came out");
  Table table(pass.flow, {{"link", 4},
                          {"straight", 1, Align::right},
                          {"crossed", 1, Align::right},
                          {"dark", 1, Align::right},
                          {"not tried", 1, Align::right}});
  table.head();
  for (const LinkView& link : pass.view.links) {
    std::map<Continuity, std::size_t> strands;
    for (const std::uint32_t strand : pass.view.strands_of(link))
      ++strands[all.continuity.strands[strand].state];
    table.wrapped_row({{link.name},
                       {count_text(strands[Continuity::straight])},
                       {count_text(strands[Continuity::crossed])},
                       {count_text(strands[Continuity::dark])},
                       {count_text(strands[Continuity::not_tried])}});
    table.rule();
  }
}

}  // namespace

void write_instruments(const ReportPass& pass) {
  pass.flow.section(number_of(Section::instruments), title_of(Section::instruments));
  pass.flow.paragraph(
      "A loss is the reference level less the level read at the far end, both by the same meter at the same "
      "wavelength setting, so that its absolute calibration cancels. A closing check tells how far the "
      "reference "
      "moved while the readings were taken.");
  references(pass);
  instruments(pass);
  calibrations(pass);
  continuity(pass);
}

}  // namespace strandbook
