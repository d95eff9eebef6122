#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <span>

#include "domain/diagnosis/job_detectors.hpp"
#include "domain/plan/strand_index.hpp"

namespace strandbook {
namespace {

/// Columns that are the same as others.
struct Copies {
  std::vector<std::uint32_t> tests;  ///< one of each column
  std::size_t values = 0;            ///< readings that repeat another column's

  void take(std::span<const ColumnPrint> group) {
    for (const ColumnPrint& each : group) tests.push_back(each.sample);
    values += group.front().count * (group.size() - 1);
  }
};

/// The same strands at one wavelength, once from either end.
bool are_directions(const Assessment& all, std::span<const ColumnPrint> group) {
  if (group.size() != 2) return false;
  const JudgedTest& one = all.tests[group[0].sample];
  const JudgedTest& other = all.tests[group[1].sample];
  return one.strand == other.strand && one.wavelength == other.wavelength;
}

std::string links_named(const Assessment& all, const Finding& finding) {
  std::set<std::string> links;
  for (const std::uint32_t test : finding.tests) {
    const ScheduledStrand& strand = all.schedule[all.tests[test].strand];
    links.insert(link_name(strand).empty() ? name_of(strand) : link_name(strand));
  }
  constexpr std::size_t most = 3;
  std::string names;
  std::size_t named = 0;
  for (const std::string& link : links)
    if (++named <= most) names += (names.empty() ? "" : ", ") + link;
  if (links.size() > most) names += fmt::format(" and {} more", links.size() - most);
  return names;
}

Finding finding_of(Copies copies) {
  std::sort(copies.tests.begin(), copies.tests.end());
  copies.tests.erase(std::unique(copies.tests.begin(), copies.tests.end()), copies.tests.end());
  Finding finding;
  finding.kind = "readings-copied";
  finding.tests = std::move(copies.tests);
  finding.evidence = {{"readings", static_cast<double>(copies.values)}};
  return finding;
}

}  // namespace

void detect_names(const Assessment& all, Suspects& out) {
  std::set<std::string> repairs;
  std::size_t proposals = 0;
  std::size_t unknown = 0;
  std::string example;
  for (const UnmatchedReading& row : all.unmatched) {
    const Reading& reading = all.readings.rows[row.reading];
    if (!row.proposal.empty()) {
      if (proposals == 0)
        example = fmt::format("{}{}{} → {}", reading.link, reading.link.empty() ? "" : "/", reading.strand,
                              row.proposal);
      ++proposals;
      repairs.insert(row.by);
    } else if (row.why == "strand is not in the schedule") {
      ++unknown;
    }
  }
  if (proposals > 0) {
    Finding finding;
    finding.kind = "names";
    finding.summary = fmt::format(
        "{} readings name strands that are not in the schedule but are like ones that are.", proposals);
    std::string kinds;
    for (const std::string& each : repairs) kinds += (kinds.empty() ? "" : "; ") + each;
    finding.evidence = {
        {"readings", static_cast<double>(proposals)}, {"alike_by", kinds}, {"first", example}};
    finding.advice =
        "Check the proposals against the panel, then confirm the kind with --confirm, or correct the file.";
    out.facts.push_back(std::move(finding));
  }
  if (unknown > 0) {
    Finding finding;
    finding.kind = "unscheduled";
    finding.summary =
        fmt::format("{} readings belong to no scheduled strand. They are kept and not counted.", unknown);
    finding.evidence = {{"readings", static_cast<double>(unknown)}};
    finding.advice = "Ask the crew: is a strand missing in the schedule, or was another one meant?";
    out.facts.push_back(std::move(finding));
  }
}

void detect_repeats(const std::vector<std::uint32_t>& repeated, Suspects& out) {
  if (repeated.empty()) return;
  Finding finding;
  finding.kind = "repeated-readings";
  finding.weight = Weight::note;
  finding.tests = repeated;
  finding.summary = fmt::format(
      "{} tests have more than one reading. The latest valid one counts; where no time tells, the one with "
      "the greater "
      "loss. All are kept.",
      repeated.size());
  finding.evidence = {{"tests", static_cast<double>(repeated.size())}};
  finding.advice = "See that each repeat followed an action (cleaned, re-spliced, cord changed) and note it.";
  out.facts.push_back(std::move(finding));
}

void detect_copies(const Assessment& all, const std::vector<ColumnPrint>& doubled, Suspects& out) {
  Copies between_links;
  Copies between_directions;
  for (std::size_t from = 0, to = 0; from < doubled.size(); from = to) {
    while (to < doubled.size() && doubled[to].print == doubled[from].print &&
           doubled[to].count == doubled[from].count)
      ++to;
    const std::span group = std::span(doubled).subspan(from, to - from);
    (are_directions(all, group) ? between_directions : between_links).take(group);
  }
  if (!between_links.tests.empty()) {
    Finding finding = finding_of(std::move(between_links));
    finding.summary = fmt::format(
        "{} readings are the same, strand for strand and to the last digit, as another column's ({}): no two "
        "cables are.",
        std::get<double>(finding.evidence.front().second), links_named(all, finding));
    finding.advice =
        "Measure a few of them again. If they differ, one was copied from the other: measure it all.";
    out.facts.push_back(std::move(finding));
  }
  if (!between_directions.tests.empty()) {
    Finding finding = finding_of(std::move(between_directions));
    finding.weight = Weight::note;
    finding.about = "directions";
    finding.summary = fmt::format(
        "{} readings are the same in both directions, strand for strand and to the last digit ({}).",
        std::get<double>(finding.evidence.front().second), links_named(all, finding));
    finding.advice = "Ask whether the second direction was measured, or one value was written twice.";
    out.facts.push_back(std::move(finding));
  }
}

}  // namespace strandbook
