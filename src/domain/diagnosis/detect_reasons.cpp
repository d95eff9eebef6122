#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "domain/diagnosis/job_detectors.hpp"
#include "domain/diagnosis/sentence.hpp"

namespace strandbook {
namespace {

/// Tests grouped by the reference they rest on.
using ByReference = std::map<std::uint32_t, std::vector<std::uint32_t>>;

ByReference by_reference(const Assessment& all, const ByReason& by_reason, Reason reason) {
  ByReference groups;
  for (const std::uint32_t i : by_reason[static_cast<std::size_t>(reason)])
    groups[all.tests[i].reference].push_back(i);
  return groups;
}

/// Which reference a finding is about, the same from one look to the next.
std::string about_reference(const Reference& reference) {
  return reference.id + "@" + std::to_string(static_cast<int>(reference.wavelength.value)) +
         (reference.time ? "@" + iso_text(*reference.time) : "");
}

Picture losses_in_order(const Assessment& all, const std::vector<std::uint32_t>& tests) {
  Picture picture;
  picture.kind = Picture::Kind::series;
  picture.x_name = "test";
  picture.y_name = "loss, dB";
  const std::size_t every = tests.size() / Picture::most_points + 1;
  for (std::size_t i = 0; i < tests.size(); i += every) {
    const double loss = all.tests[tests[i]].loss.value;
    picture.points.push_back({static_cast<double>(i + 1), loss, loss < 0});
  }
  picture.levels.push_back({1, static_cast<double>(tests.size()), 0});
  return picture;
}

void disproved_references(const Assessment& all, const ByReason& by_reason, Suspects& out) {
  for (auto& [row, tests] : by_reference(all, by_reason, Reason::reference_disproved)) {
    const Reference& reference = all.references[row];
    double least = 0;
    for (const std::uint32_t i : tests) least = std::min(least, all.tests[i].loss.value);
    Finding finding;
    finding.kind = "reference-disproved";
    finding.weight = Weight::stop;
    finding.about = about_reference(reference);
    finding.summary =
        fmt::format("{} of {} tests under the {} show more light than the reference: it is wrong.",
                    std::count_if(tests.begin(), tests.end(),
                                  [&](std::uint32_t i) { return all.tests[i].loss.value < 0; }),
                    tests.size(), reference_words(reference));
    finding.evidence = {{"reference_dbm", reference.power.value}, {"least_loss_db", least}};
    finding.advice =
        "Clean and inspect both cord ends, let the source warm up, take a new reference and repeat these "
        "tests.";
    finding.caution = live_port_caution;
    finding.picture = losses_in_order(all, tests);
    finding.tests = tests;
    out.facts.push_back(std::move(finding));
  }
}

void drifted_references(const Assessment& all, const ByReason& by_reason, const ReferencePractice& practice,
                        Suspects& out) {
  const ByReference drifted = by_reference(all, by_reason, Reason::reference_drifted);
  if (drifted.empty()) return;
  const ReferenceFinder finder(all.references, practice);
  for (const auto& [row, tests] : drifted) {
    const double change = finder.change_of(row).value_or(Decibels{0}).value;
    Finding finding;
    finding.kind = "reference-drift";
    finding.weight = Weight::stop;
    finding.about = about_reference(all.references[row]);
    finding.summary = fmt::format(
        "The {} had moved by {:+.2f} dB when it was checked: the true loss of each test lies between what "
        "the opening and the closing reference give.",
        reference_words(all.references[row]), change);
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
        "temperature and the launch cord.";
    finding.picture = losses_in_order(all, tests);
    finding.tests = tests;
    out.facts.push_back(std::move(finding));
  }
}

struct ReasonWords {
  Reason reason;
  const char* kind;
  Weight weight;
  const char* summary;  ///< {} is the number of tests
  const char* advice;
  const char* caution;
};

constexpr std::array<ReasonWords, 9> words_of_reasons{{
    {Reason::reference_setting_differs, "meter-setting", Weight::stop,
     "{} readings were taken with another wavelength setting of the meter than their reference: no loss "
     "follows from "
     "them, and no absolute level either.",
     "Set the meter to the source's wavelength, repeat the reference, then these readings.", ""},
    {Reason::reference_instrument_differs, "instruments-changed", Weight::stop,
     "{} readings were taken with another source or other cords than any reference.",
     "Take a reference with the source and cords in use, then repeat.", ""},
    {Reason::no_reference, "reference-missing", Weight::stop, "{} readings are levels without any reference.",
     "Bring in the references of that day; if there are none, take one and repeat these readings.", ""},
    {Reason::ambiguous_reference, "reference-ambiguous", Weight::stop,
     "{} readings could belong to more than one reference, and nothing tells which.",
     "Name the reference with each reading, or give reading and reference their times.", ""},
    {Reason::reference_after_reading, "reference-later", Weight::stop,
     "{} readings are older than every reference that would fit them.",
     "Check the clocks of meter and tablet. If they are right, repeat these readings under a reference.", ""},
    {Reason::reference_expired, "reference-expired", Weight::stop,
     "{} readings were taken when their reference was too old to count.",
     "Take a new reference at the start of each shift, and repeat these readings.", ""},
    {Reason::method_unstated, "method-unstated", Weight::stop,
     "{} tests cannot be judged: nothing tells the reference method, so nobody knows which connections the "
     "reading holds.",
     "State it: in the schedule (reference_method), with the reference (method), or with --reference-method.",
     ""},
    {Reason::methods_differ, "methods-differ", Weight::stop,
     "{} readings rest on another reference method than the schedule asks for.",
     "See how many cords were in the reference, correct the record that is wrong, or repeat.", ""},
    {Reason::no_light, "no-light", Weight::look, "{} tests found no light at the far end.",
     "Check continuity end to end and that the strand is not crossed.", live_port_caution},
}};

}  // namespace

void detect_reasons(const Assessment& all, const ByReason& by_reason, const ReferencePractice& practice,
                    Suspects& out) {
  disproved_references(all, by_reason, out);
  drifted_references(all, by_reason, practice, out);
  for (const ReasonWords& words : words_of_reasons) {
    const auto& tests = by_reason[static_cast<std::size_t>(words.reason)];
    if (tests.empty()) continue;
    Finding finding;
    finding.kind = words.kind;
    finding.weight = words.weight;
    finding.tests = tests;
    finding.summary = fmt::format(fmt::runtime(words.summary), tests.size());
    finding.evidence = {{"tests", static_cast<double>(tests.size())}};
    finding.advice = words.advice;
    finding.caution = words.caution;
    out.facts.push_back(std::move(finding));
  }
}

}  // namespace strandbook
