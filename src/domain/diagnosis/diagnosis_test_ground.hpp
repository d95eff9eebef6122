#pragma once
// What the tests of findings share: a small practice and jobs of typed losses.

#include <string>
#include <utility>
#include <vector>

#include "domain/diagnosis/find.hpp"
#include "domain/verdict/judge.hpp"

namespace strandbook {

/// Values of rules/practice/diagnosis.json, as far as these tests need them.
inline FindingSettings finding_settings_for_tests() {
  FindingSettings settings;
  settings.references = {{0.10}, {}};
  DiagnosisPractice& practice = settings.practice;
  practice.least_offset = {0.1};
  practice.attenuation = {{{FibreCategory::os2}, {1310}, {0.34}, {0.02}, {0.28}},
                          {{FibreCategory::os2}, {1550}, {0.20}, {0.015}, {0.15}},
                          {{FibreCategory::om3}, {850}, {2.6}, {0.25}, {2.0}},
                          {{FibreCategory::om3}, {1300}, {0.7}, {0.15}, {0.4}}};
  practice.connection = {{0.15}, {0.08}};
  practice.splice = {{0.05}, {0.03}};
  practice.spread = {{0.05}, {0.09}, {0.03}, {0.04}, {0.04}, 0.7};
  practice.least = {{0.2}, {0.2}, {0.2}, {0.25}, 0.05, {3}, 3};
  practice.causes = {{"bend", "tight bend", 1, "dress-fibre", 5}};
  return settings;
}

inline RuleSet diagnosis_rule() {
  RuleSet rule;
  rule.id = "own:diagnosis";
  const RuleRef own{"tests", "1", "", Standing::own, ""};
  rule.attenuation = {{FibreCategory::os2, Plant::unstated, {1310}, {0.4}, own},
                      {FibreCategory::os2, Plant::unstated, {1550}, {0.3}, own},
                      {FibreCategory::om3, Plant::unstated, {850}, {3.0}, own},
                      {FibreCategory::om3, Plant::unstated, {1300}, {1.5}, own}};
  for (const FibreMode mode : {FibreMode::single_mode, FibreMode::multimode}) {
    rule.connections.push_back({mode, ConnectionPlace::embedded, {}, {0.5}, own});
    rule.connections.push_back({mode, ConnectionPlace::end, {}, {0.5}, own});
    rule.splices.push_back({mode, {0.1}, own});
  }
  return rule;
}

/// One link of typed losses; `loss(strand, column)` where the columns are the given wavelengths, then
/// directions.
struct TypedLink {
  FibreCategory fibre = FibreCategory::os2;
  double length_m = 1000;
  std::size_t strands = 12;
  std::vector<double> wavelengths{1310, 1550};
  bool both_ways = false;
};

template <class Loss>
JobInput typed_job(const TypedLink& link, Loss loss) {
  JobInput input;
  input.readings.files = {{"day.csv", ""}};
  for (std::size_t i = 0; i < link.strands; ++i) {
    ScheduledStrand row;
    row.link = "K1";
    row.strand = (i < 9 ? "0" : "") + std::to_string(i + 1);
    row.fibre = link.fibre;
    row.length = Metres{link.length_m};
    row.connections = 2;
    row.splices = 0;
    row.directions = link.both_ways ? DirectionDemand::both : DirectionDemand::either;
    for (const double nm : link.wavelengths) row.wavelengths.push_back({nm});
    input.schedule.push_back(row);
    for (std::size_t w = 0; w < link.wavelengths.size(); ++w)
      for (std::size_t way = 0; way < (link.both_ways ? 2 : 1); ++way) {
        Reading reading;
        reading.link = input.readings.keep_text(row.link);
        reading.strand = input.readings.keep_text(row.strand);
        reading.wavelength = {link.wavelengths[w]};
        reading.direction = way == 0 ? Direction::a_to_b : Direction::b_to_a;
        reading.value = loss(i, w * 2 + way);
        reading.row = static_cast<std::uint32_t>(input.readings.rows.size() + 2);
        input.readings.rows.push_back(reading);
      }
  }
  return input;
}

inline JudgeSettings judge_settings_for_findings(const Rulebook& rulebook) {
  JudgeSettings settings;
  settings.plan.rule = &rulebook.front();
  settings.plan.method = ReferenceMethod::one_cord;
  settings.gain_allowance = {0.05};
  return settings;
}

/// Scatter of a few hundredths of a dB that is always the same.
inline double steady_noise(std::size_t i) {
  return 0.01 * static_cast<double>(static_cast<int>((i * 7 + i * i * 3) % 13) - 6);
}

}  // namespace strandbook
