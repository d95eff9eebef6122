#include "domain/diagnosis/find.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>
#include <set>

namespace strandbook {
namespace {

std::string name_of_reference(const Reference& reference) {
  const std::string name = reference.id.empty() ? "reference" : "reference " + reference.id;
  if (!reference.time) return fmt::format("{} at {} nm", name, reference.wavelength.value);
  return fmt::format("{} at {} nm of {}", name, reference.wavelength.value, iso_text(*reference.time));
}

/// Tests grouped by the reference they rest on.
using ByReference = std::map<std::uint32_t, std::vector<std::uint32_t>>;

/// Tests that some cause may concern, gathered in one pass: a job has hundreds of thousands, and they are
/// looked at anew after each reading.
struct Gathered {
  explicit Gathered(const Assessment& assessment) : all(assessment) {
    for (std::uint32_t i = 0; i < all.tests.size(); ++i) {
      const JudgedTest& test = all.tests[i];
      if (test.reason != Reason::none && test.reason != Reason::no_reading)
        by_reason[static_cast<std::size_t>(test.reason)].push_back(i);
      if (test.other_readings > 0) repeated.push_back(i);
    }
  }
  const std::vector<std::uint32_t>& with(Reason reason) const {
    return by_reason[static_cast<std::size_t>(reason)];
  }
  ByReference with_by_reference(Reason reason) const {
    ByReference groups;
    for (const std::uint32_t i : with(reason)) groups[all.tests[i].reference].push_back(i);
    return groups;
  }

  const Assessment& all;
  std::array<std::vector<std::uint32_t>, static_cast<std::size_t>(Reason::no_limit) + 1> by_reason;
  std::vector<std::uint32_t> repeated;
};

double least_loss(const Assessment& all, const std::vector<std::uint32_t>& tests) {
  double least = 0;
  for (const std::uint32_t i : tests) least = std::min(least, all.tests[i].loss.value);
  return least;
}

void disproved_references(const Gathered& gathered, std::vector<Finding>& found) {
  const Assessment& all = gathered.all;
  for (auto& [row, tests] : gathered.with_by_reference(Reason::reference_disproved)) {
    const Reference& reference = all.references[row];
    Finding finding;
    finding.kind = "reference-disproved";
    finding.summary =
        fmt::format("{} of {} tests under the {} show more light than the reference: it is wrong.",
                    std::count_if(tests.begin(), tests.end(),
                                  [&](std::uint32_t i) { return all.tests[i].loss.value < 0; }),
                    tests.size(), name_of_reference(reference));
    finding.evidence = {{"reference_dbm", reference.power.value}, {"least_loss_db", least_loss(all, tests)}};
    finding.advice =
        "Clean and inspect both cord ends, let the source warm up, take a new reference and repeat these "
        "tests. A "
        "source port is live: never look into it.";
    finding.tests = tests;
    found.push_back(std::move(finding));
  }
}

void drifted_references(const Gathered& gathered, const ReferencePractice& practice,
                        std::vector<Finding>& found) {
  const Assessment& all = gathered.all;
  const ByReference drifted = gathered.with_by_reference(Reason::reference_drifted);
  if (drifted.empty()) return;
  const ReferenceFinder finder(all.references, practice);
  for (const auto& [row, tests] : drifted) {
    const double change = finder.change_of(row).value_or(Decibels{0}).value;
    Finding finding;
    finding.kind = "reference-drift";
    finding.summary = fmt::format(
        "The {} had moved by {:+.2f} dB when it was checked: the true loss of each test lies between what "
        "the opening and the closing reference give.",
        name_of_reference(all.references[row]), change);
    finding.evidence = {{"change_db", change}, {"opening_dbm", all.references[row].power.value}};
    double low = 1e9;
    double high = -1e9;
    for (const std::uint32_t i : tests) {
      low = std::min({low, all.tests[i].loss.value, all.tests[i].loss.value + change});
      high = std::max({high, all.tests[i].loss.value, all.tests[i].loss.value + change});
    }
    finding.evidence.emplace_back("least_loss_db", low);
    finding.evidence.emplace_back("greatest_loss_db", high);
    finding.advice =
        "Repeat these tests after a new reference, those nearest the limit first; check source battery, "
        "temperature "
        "and the launch cord.";
    finding.tests = tests;
    found.push_back(std::move(finding));
  }
}

void one_reason(const Gathered& gathered, Reason reason, const char* kind, const std::string& summary,
                const std::string& advice, std::vector<Finding>& found) {
  Finding finding;
  finding.tests = gathered.with(reason);
  if (finding.tests.empty()) return;
  finding.kind = kind;
  finding.summary = fmt::format(fmt::runtime(summary), finding.tests.size());
  finding.evidence = {{"tests", static_cast<double>(finding.tests.size())}};
  finding.advice = advice;
  found.push_back(std::move(finding));
}

/// Typed losses, file by file: all below zero is a way of writing, one below zero among others is a fault.
void loss_signs(const Gathered& gathered, std::vector<Finding>& found) {
  const Assessment& all = gathered.all;
  struct Count {
    std::size_t losses = 0;
    std::size_t negative = 0;
    std::vector<std::uint32_t> tests;
  };
  std::map<std::uint32_t, Count> files;
  for (const Reading& reading : all.readings.rows) {
    if (reading.kind != ReadingKind::loss) continue;
    Count& count = files[reading.file];
    ++count.losses;
    if (reading.value < 0) ++count.negative;
  }
  for (const std::uint32_t i : gathered.with(Reason::impossible_value)) {
    const JudgedTest& test = all.tests[i];
    if (test.reading == nothing) continue;
    const Reading& reading = all.readings.rows[test.reading];
    if (reading.kind == ReadingKind::loss) files[reading.file].tests.push_back(i);
  }
  for (auto& [file, count] : files) {
    if (count.tests.empty()) continue;
    const bool whole_file = count.negative == count.losses && count.losses > 1;
    const std::string name =
        file < all.readings.files.size() ? all.readings.files[file].file : std::string{"readings"};
    Finding finding;
    finding.kind = whole_file ? "loss-sign" : "gain";
    finding.summary =
        whole_file
            ? fmt::format(
                  "Every loss in {} is written negative: either the file writes change of level, or the "
                  "reference was wrong. Nothing was turned.",
                  name)
            : fmt::format("{} of {} losses in {} are gains, which a passive link cannot show.",
                          count.tests.size(), count.losses, name);
    finding.evidence = {{"losses", static_cast<double>(count.losses)},
                        {"negative", static_cast<double>(count.negative)},
                        {"least_loss_db", least_loss(all, count.tests)}};
    finding.advice =
        whole_file ? "If the file writes change of level, confirm with --loss-sign change-of-level. If "
                     "not, take a new reference and repeat."
                   : "Repeat these readings after a new reference; never use the number without its sign.";
    finding.tests = count.tests;
    found.push_back(std::move(finding));
  }
}

void repeated_readings(const Gathered& gathered, std::vector<Finding>& found) {
  Finding finding;
  finding.tests = gathered.repeated;
  if (finding.tests.empty()) return;
  finding.kind = "repeated-readings";
  finding.summary = fmt::format(
      "{} tests have more than one reading. The latest valid one counts; where no time tells, the one with "
      "the greater "
      "loss. All are kept.",
      finding.tests.size());
  finding.evidence = {{"tests", static_cast<double>(finding.tests.size())}};
  finding.advice = "See that each repeat followed an action (cleaned, re-spliced, cord changed) and note it.";
  found.push_back(std::move(finding));
}

void unmatched_names(const Assessment& all, std::vector<Finding>& found) {
  std::set<std::string> repairs;
  std::size_t proposals = 0;
  std::size_t unknown = 0;
  for (const UnmatchedReading& row : all.unmatched) {
    if (!row.proposal.empty()) {
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
    finding.evidence = {{"readings", static_cast<double>(proposals)}, {"alike_by", kinds}};
    finding.advice =
        "Check the proposals against the panel, then confirm the kind with --confirm, or correct the file.";
    found.push_back(std::move(finding));
  }
  if (unknown > 0) {
    Finding finding;
    finding.kind = "unscheduled";
    finding.summary =
        fmt::format("{} readings belong to no scheduled strand. They are kept and not counted.", unknown);
    finding.evidence = {{"readings", static_cast<double>(unknown)}};
    finding.advice = "Ask the crew: is a strand missing in the schedule, or was another one meant?";
    found.push_back(std::move(finding));
  }
}

void shared_reasons(const Gathered& gathered, std::vector<Finding>& found) {
  one_reason(gathered, Reason::reference_setting_differs, "meter-setting",
             "{} readings were taken with another wavelength setting of the meter than their reference: no "
             "loss follows "
             "from them, and no absolute level either.",
             "Set the meter to the source's wavelength, repeat the reference, then these readings.", found);
  one_reason(gathered, Reason::reference_instrument_differs, "instruments-changed",
             "{} readings were taken with another source or other cords than any reference.",
             "Take a reference with the source and cords in use, then repeat.", found);
  one_reason(
      gathered, Reason::method_unstated, "method-unstated",
      "{} tests cannot be judged: nothing tells the reference method, so nobody knows which connections the "
      "reading holds.",
      "State it: in the schedule (reference_method), with the reference (method), or with "
      "--reference-method.",
      found);
  one_reason(gathered, Reason::no_light, "no-light", "{} tests found no light at the far end.",
             "Check continuity end to end and that the strand is not crossed. Treat every port as live: "
             "never look into "
             "it.",
             found);
}

}  // namespace

std::vector<Finding> find_causes(const Assessment& all, const ReferencePractice& practice) {
  std::vector<Finding> found;
  const Gathered gathered(all);
  disproved_references(gathered, found);
  drifted_references(gathered, practice, found);
  shared_reasons(gathered, found);
  loss_signs(gathered, found);
  unmatched_names(all, found);
  repeated_readings(gathered, found);
  std::stable_sort(found.begin(), found.end(),
                   [](const Finding& a, const Finding& b) { return a.tests.size() > b.tests.size(); });
  for (std::size_t i = 0; i < found.size(); ++i) found[i].id = fmt::format("F{}", i + 1);
  return found;
}

}  // namespace strandbook
