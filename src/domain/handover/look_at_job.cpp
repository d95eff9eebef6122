// What every owner sends a pack back for: tests that do not hold, rows left over, findings nobody answered.

#include <fmt/format.h>

#include <algorithm>

#include "domain/handover/preflight_parts.hpp"

namespace strandbook {
namespace {

const char* step_for(Outcome outcome) {
  switch (outcome) {
    case Outcome::not_tested:
      return "Test these strands, or have the owner take them out of the schedule in writing.";
    case Outcome::invalid:
      return "See the reason at each strand; set the reference anew and read these strands again.";
    default:
      return "Find the cause and mend it, then read these strands again.";
  }
}

std::vector<std::uint32_t> strands_of(const JobToHandOver& job, const std::vector<std::uint32_t>& tests) {
  std::vector<std::uint32_t> strands;
  strands.reserve(tests.size());
  for (const std::uint32_t test : tests) strands.push_back(job.assessment.tests[test].strand);
  strands.erase(std::unique(strands.begin(), strands.end()), strands.end());
  return strands;
}

}  // namespace

void look_at_outcomes(const PreflightDesk& desk) {
  if (desk.job.assessment.tests.empty())
    desk.tell({"outcome",
               Objection::missing,
               "No test is planned: there is nothing to hand over.",
               "Bring in the cable schedule and settle the rule.",
               "",
               {}});
  for (const Outcome outcome : {Outcome::fail, Outcome::conditional_fail, Outcome::conditional_pass,
                                Outcome::invalid, Outcome::not_tested}) {
    if (accepted(outcome, desk.decision)) continue;
    std::vector<std::uint32_t> strands =
        desk.strands_where([outcome](const JudgedTest& test) { return test.outcome == outcome; });
    if (strands.empty()) continue;
    const Objection objection = outcome == Outcome::not_tested ? Objection::missing : Objection::refused;
    std::string what = fmt::format("Outcome {}: {}", text_of(outcome), desk.part_of_job(strands));
    const bool owners = (outcome == Outcome::conditional_fail || outcome == Outcome::conditional_pass) &&
                        !desk.decision.source.document.empty();
    desk.tell({"outcome", objection, std::move(what), step_for(outcome),
               owners ? describe(desk.decision.source) : std::string{}, std::move(strands)});
  }
}

void look_at_leftovers(const PreflightDesk& desk) {
  if (const std::size_t rows = desk.job.unread_rows; rows > 0)
    desk.tell({"rows",
               Objection::missing,
               fmt::format("Rows of files that could not be used: {}", rows),
               "Mend them in a corrected file and bring it in, or withdraw the file with a reason.",
               "",
               {}});
  if (const std::size_t readings = desk.job.assessment.unmatched.size(); readings > 0)
    desk.tell({"readings",
               Objection::missing,
               fmt::format("Readings that belong to no planned test: {}", readings),
               "Correct their names, or withdraw them with a reason.",
               "",
               {}});
}

void look_at_findings(const PreflightDesk& desk) {
  for (const Finding& finding : desk.job.findings) {
    // Traces that the owner wants and that are not there are a note while work goes on, not any more at its
    // end.
    const bool wanted = finding.weight != Weight::note || finding.kind == "trace-missing";
    if (!wanted || desk.pack.acknowledged.contains(finding.id)) continue;
    const Objection objection = finding.weight == Weight::stop ? Objection::refused : Objection::missing;
    desk.tell(
        {"finding", objection, finding.summary, finding.advice, "", strands_of(desk.job, finding.tests)});
  }
  std::vector<std::uint32_t> strands = desk.strands_where([&desk](const JudgedTest& test) {
    return test.limit != nothing && rests_on_memory(desk.job.assessment.limits[test.limit]);
  });
  if (strands.empty()) return;
  std::string what = fmt::format("Limits that rest on values from memory: {}", desk.part_of_job(strands));
  desk.tell({"standing", Objection::by_hand, std::move(what),
             "Compare the values with the document itself; the rules screen names each.", "",
             std::move(strands)});
}

}  // namespace strandbook
