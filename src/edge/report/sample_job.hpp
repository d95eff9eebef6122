#pragma once
// A campus of our own invention for the tests of the report: five links, every outcome, names of every
// script.

#include <array>
#include <cmath>
#include <cstdio>
#include <fstream>
#include <iterator>
#include <memory>
#include <stdexcept>
#include <string>

#include "domain/diagnosis/find.hpp"
#include "domain/verdict/judge.hpp"
#include "edge/report/report.hpp"

namespace strandbook::sample {

/// A judged job with the rulebook it points into.
struct Job {
  std::unique_ptr<Rulebook> rulebook;
  UncertaintyModel uncertainty;
  JudgedJob judged;
};

inline RuleSet campus_rule() {
  RuleSet rule;
  rule.id = "own:harbour";
  rule.title = "Harbour campus backbone";
  rule.document = "Harbour campus, cabling specification";
  rule.edition = "3";
  const RuleRef own{"Harbour campus, cabling specification", "3", "clause 4.2", Standing::own, ""};
  const RuleRef recalled{"ISO/IEC 14763-3", "2014", "", Standing::from_memory, "Awaits checking."};
  const RuleRef practice{"trade practice", "", "", Standing::common_practice,
                         "Two plugs mated in the reference are missing from the reading."};
  for (const FibreCategory fibre : {FibreCategory::om3, FibreCategory::om4}) {
    rule.attenuation.push_back({fibre, Plant::unstated, {850}, {3.0}, recalled});
    rule.attenuation.push_back({fibre, Plant::unstated, {1300}, {1.5}, own});
  }
  rule.attenuation.push_back({FibreCategory::os2, Plant::unstated, {1310}, {0.4}, own});
  rule.attenuation.push_back({FibreCategory::os2, Plant::unstated, {1550}, {0.3}, own});
  for (const FibreMode mode : {FibreMode::multimode, FibreMode::single_mode}) {
    rule.connections.push_back({mode, ConnectionPlace::embedded, {}, {0.75}, own});
    rule.connections.push_back({mode, ConnectionPlace::end, {}, {0.5}, own});
    rule.splices.push_back({mode, {0.3}, own});
    rule.reference_joins.push_back({mode, {}, {0.2}, practice});
  }
  rule.demands.push_back({FibreMode::multimode, {{850}, {1300}}, DirectionDemand::either, own});
  rule.demands.push_back({FibreMode::single_mode, {{1310}, {1550}}, DirectionDemand::both, own});
  return rule;
}

inline UncertaintyModel campus_uncertainty() {
  const RuleRef recalled{"", "", "", Standing::from_memory, ""};
  const RuleRef seen{"IEC 61315", "", "", Standing::seen_in_extract, ""};
  ContributionRow linearity;
  linearity.name = "meter linearity";
  linearity.half_width = 0.05;
  linearity.source = recalled;
  ContributionRow cords;
  cords.name = "cord-plug mating repeatability";
  cords.half_width = 0.14;
  cords.coverage = 2;
  cords.spread = Spread::normal;
  cords.source = recalled;
  ContributionRow calibration;
  calibration.name = "meter absolute calibration";
  calibration.half_width = 0.11;
  calibration.coverage = 2;
  calibration.spread = Spread::normal;
  calibration.enters = Enters::instruments_differ;
  calibration.shared = SharedBy::session;
  calibration.source = seen;
  return {linearity, cords, calibration};
}

/// Builds up a job row by row and judges it.
class Builder {
 public:
  JobInput input;
  JudgeSettings settings;

  Builder() : rulebook_(std::make_unique<Rulebook>(Rulebook{campus_rule()})) {
    settings.plan.rule = &rulebook_->front();
    settings.guard = GuardBand::expanded_uncertainty;
    settings.references = {{0.10}, std::int64_t{86400}};
    settings.gain_allowance = {0.05};
    settings.uncertainty = campus_uncertainty();
    input.readings.files.push_back({"meter-a.csv", ""});
  }

  static Instant clock(int hour, int minute = 0) {
    return {1775347200 + hour * 3600 + minute * 60, true, true, true};  // 2026-04-05
  }

  ScheduledStrand& strand(const std::string& link, const std::string& name, FibreCategory fibre,
                          double length) {
    ScheduledStrand row;
    row.link = link;
    row.strand = name;
    row.fibre = fibre;
    row.length = Metres{length};
    row.connections = 2;
    row.splices = 0;
    input.schedule.push_back(row);
    return input.schedule.back();
  }

  Reference& reference(double nm, double dbm, Instant at, ReferenceKind kind = ReferenceKind::opening) {
    Reference row;
    row.id = "R-" + std::to_string(input.references.size() + 1);
    row.kind = kind;
    row.wavelength = {nm};
    row.power = {dbm};
    row.method = ReferenceMethod::one_cord;
    row.time = at;
    row.source = "LS-2 no. 118";
    row.meter = "PM-1 no. 204";
    row.cords = "TRC 7";
    input.references.push_back(row);
    return input.references.back();
  }

  Reading& loss(const std::string& link, const std::string& name, double nm, double db) {
    Reading row;
    row.link = input.readings.keep_text(link);
    row.strand = input.readings.keep_text(name);
    row.wavelength = {nm};
    row.value = db;
    row.row = static_cast<std::uint32_t>(input.readings.rows.size() + 2);
    row.column = 4;
    input.readings.rows.push_back(row);
    return input.readings.rows.back();
  }

  Reading& power(const std::string& link, const std::string& name, double nm, double dbm, Instant at) {
    Reading& row = loss(link, name, nm, dbm);
    row.kind = ReadingKind::power;
    row.time = at;
    row.has_time = true;
    row.source = "LS-2 no. 118";
    row.meter = "PM-1 no. 204";
    row.cords = "TRC 7";
    row.operator_name = "crew 2";
    return row;
  }

  Job judged(const std::string& name) {
    Result<Assessment> result = judge(std::move(input), *rulebook_, settings);
    if (!result) throw std::runtime_error(describe(result.problem()));
    JudgedJob job;
    job.name = name;
    job.assessment = std::move(*result);
    job.findings = find_causes(job.assessment, {settings.references, {}});
    return {std::move(rulebook_), settings.uncertainty, std::move(job)};
  }

 private:
  std::unique_ptr<Rulebook> rulebook_;
};

inline std::string two_digits(int number) { return (number < 10 ? "0" : "") + std::to_string(number); }

inline void multimode_link(Builder& build) {
  build.reference(850, -20.46, Builder::clock(7));
  build.reference(1300, -20.10, Builder::clock(7, 10));
  for (int i = 1; i <= 24; ++i) {
    ScheduledStrand& strand = build.strand("QH-MILL-01", two_digits(i), FibreCategory::om4, 212);
    strand.building = "Quay house";
    strand.cable = "QM-1";
    strand.end_a = "Quay house, rack 2";
    strand.end_b = "Mill, wall box";
    const double more = i == 7 ? 1.6 : i == 9 ? 0.66 : i == 12 ? 0.85 : 0.02 * (i % 5);
    build.power("QH-MILL-01", two_digits(i), 850, -20.46 - 0.95 - more, Builder::clock(8, i));
    if (i != 16)
      build.power("QH-MILL-01", two_digits(i), 1300, -20.10 - 0.55 - more / 2, Builder::clock(9, i));
  }
  build.reference(850, -20.43, Builder::clock(11), ReferenceKind::closing_check);
}

inline void single_mode_link(Builder& build) {
  for (int i = 1; i <= 12; ++i) {
    ScheduledStrand& strand = build.strand("QH-TIDE-02", "F-" + two_digits(i), FibreCategory::os2, 1840);
    strand.building = "Tide station";
    strand.cable = "QT-2";
    strand.method = ReferenceMethod::three_cord;
    strand.splices = 2;
    strand.connections = 4;
    for (const double nm : {1310.0, 1550.0})
      for (const Direction direction : {Direction::a_to_b, Direction::b_to_a})
        if (i < 11) build.loss("QH-TIDE-02", "F-" + two_digits(i), nm, 1.9 + 0.03 * i).direction = direction;
  }
}

/// Names no layout may break on.
inline const std::array<std::string, 5> hard_names = {
    "Κτίριο-Α", "Щит-03", "機房甲-機房乙", "مبنى-٣",
    "An identifier that somebody wrote out in full because the spreadsheet let them do so, floor by floor, "
    "rack by "
    "rack and panel by panel, until it ran over every column of the ledger and on"};

inline void odd_links(Builder& build) {
  for (const std::string& name : hard_names) {
    build.strand(name, "1", FibreCategory::om3, 84).building = "Mill";
    build.loss(name, "1", 850, 0.61);
    build.loss(name, "1", 1300, 0.52);
  }
  build.strand("GAIN", "1", FibreCategory::om3, 84);
  build.loss("GAIN", "1", 850, -0.4);
  build.strand("NOLENGTH", "1", FibreCategory::om3, 84).length.reset();
  build.loss("NOLENGTH", "1", 850, 0.4);
  build.loss("QH-MILL-O1", "07", 850, 0.9);
}

/// The campus: every outcome, a Greek, Cyrillic, Chinese, Arabic and overlong name, rows kept and not used.
inline Job campus() {
  Builder build;
  build.settings.plan.method = ReferenceMethod::one_cord;
  multimode_link(build);
  single_mode_link(build);
  odd_links(build);
  Job job = build.judged("Harbour campus backbone");
  job.judged.unread_rows.push_back(
      {{"meter-a.csv", "", 44, "loss"}, "1,2OO", "a loss in dB, such as 1.20", "Letter O, not zero?"});
  job.judged.notes.push_back({"meter-a.csv", "", "day-first, proved by row 3 (13/04/2026)"});
  return job;
}

inline Job nothing_due() { return Builder().judged("Empty job"); }

/// Links of `per_link` strands, two multimode wavelengths each, losses that vary.
inline Job large(int strands, int per_link) {
  Builder build;
  build.settings.plan.method = ReferenceMethod::one_cord;
  build.settings.plan.directions = DirectionDemand::both;
  for (int i = 0; i < strands; ++i) {
    const std::string link = "BB-" + std::to_string(1000 + i / per_link);
    const std::string name = two_digits(i % per_link + 1);
    ScheduledStrand& strand = build.strand(link, name, FibreCategory::om4, 100 + i / per_link % 40);
    strand.building = "Building " + std::to_string(i / per_link % 7);
    strand.cable = "C-" + std::to_string(100 + i / per_link / 4);
    for (const double nm : {850.0, 1300.0})
      for (const Direction direction : {Direction::a_to_b, Direction::b_to_a})
        build.loss(link, name, nm, 0.55 + 0.01 * (i % 61) + (i % 97 == 0 ? 0.5 : 0)).direction = direction;
  }
  return build.judged("Large job");
}

inline ReportOptions options(const Job& job) {
  ReportOptions made;
  made.title = "Backbone acceptance";
  made.site = "Harbour campus";
  made.client = "Harbour trust, estates office";
  made.contractor = "Crew of the north yard";
  made.created = Builder::clock(16);
  made.uncertainty = job.uncertainty;
  return made;
}

inline std::string bytes_of(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

/// What a program prints; throws where it cannot be started.
inline std::string output_of(const std::string& command) {
  std::FILE* pipe = popen(command.c_str(), "r");
  if (pipe == nullptr) throw std::runtime_error("cannot start " + command);
  std::string text;
  std::array<char, 4096> buffer{};
  while (const std::size_t got = std::fread(buffer.data(), 1, buffer.size(), pipe))
    text.append(buffer.data(), got);
  pclose(pipe);
  return text;
}

}  // namespace strandbook::sample
