#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "domain/diagnosis/job_detectors.hpp"

namespace strandbook {

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
  std::vector<std::uint32_t> tests;
  std::set<std::string> links;
  std::size_t values = 0;
  for (std::size_t i = 0; i < doubled.size(); ++i) {
    const bool copy =
        i > 0 && doubled[i - 1].print == doubled[i].print && doubled[i - 1].count == doubled[i].count;
    if (copy) values += doubled[i].count;
    tests.push_back(doubled[i].sample);
    links.insert(link_name(all.schedule[all.tests[doubled[i].sample].strand]));
  }
  if (tests.empty()) return;
  std::sort(tests.begin(), tests.end());
  tests.erase(std::unique(tests.begin(), tests.end()), tests.end());
  Finding finding;
  finding.kind = "readings-copied";
  finding.tests = std::move(tests);
  std::string names;
  std::size_t named = 0;
  for (const std::string& link : links)
    if (++named <= 3) names += (names.empty() ? "" : ", ") + link;
  if (links.size() > 3) names += fmt::format(" and {} more", links.size() - 3);
  finding.summary = fmt::format(
      "{} readings are the same, strand for strand and to the last digit, as another column's ({}): no two "
      "cables are.",
      values, names);
  finding.evidence = {{"readings", static_cast<double>(values)},
                      {"links", static_cast<double>(links.size())}};
  finding.advice =
      "Measure a few of them again. If they differ, one was copied from the other: measure it all.";
  out.facts.push_back(std::move(finding));
}

}  // namespace strandbook
