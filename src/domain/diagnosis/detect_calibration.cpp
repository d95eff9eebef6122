#include <fmt/format.h>

#include <algorithm>

#include "domain/diagnosis/job_detectors.hpp"
#include "domain/plan/strand_index.hpp"

namespace strandbook {
namespace {

/// The certificate of the instrument that ends last.
const Calibration* last_certificate(const Assessment& all, const std::string& instrument) {
  const Calibration* last = nullptr;
  const std::string name = tidy_name(instrument);
  for (const Calibration& each : all.records.calibrations)
    if (tidy_name(each.instrument) == name &&
        (last == nullptr || each.through.seconds > last->through.seconds))
      last = &each;
  return last;
}

Finding finding_about(const char* kind, Weight weight, const InstrumentUse& use,
                      const std::vector<std::uint32_t>& tests) {
  Finding finding;
  finding.kind = kind;
  finding.weight = weight;
  finding.about = use.instrument;
  finding.tests = tests;
  finding.evidence = {{"tests", static_cast<double>(tests.size())}};
  return finding;
}

void outside_certificate(const Assessment& all, const InstrumentUse& use, Suspects& out) {
  if (use.outside.empty()) return;
  const Calibration& certificate = *last_certificate(all, use.instrument);
  Finding finding = finding_about("calibration-expired", Weight::look, use, use.outside);
  finding.summary = fmt::format(
      "Tests made with {} on days that no certificate covers: {}. The last one runs from {} to {}.",
      use.instrument, use.outside.size(), iso_text(certificate.from), iso_text(certificate.through));
  finding.evidence.emplace_back("valid_from", iso_text(certificate.from));
  finding.evidence.emplace_back("valid_through", iso_text(certificate.through));
  finding.advice =
      "Bring in the certificate of those days if there is one. If not, have the instrument calibrated as it "
      "is, and ask the owner whether these results are taken; the losses themselves are not in doubt.";
  out.facts.push_back(std::move(finding));
}

void not_listed(const InstrumentUse& use, Suspects& out) {
  if (use.any.empty()) return;
  Finding finding = finding_about("calibration-missing", Weight::look, use, use.any);
  finding.summary =
      fmt::format("Tests made with {}, of which there is no certificate: {}. They are not traceable.",
                  use.instrument, use.any.size());
  finding.advice =
      "Bring in its certificate, or correct its name in the readings, or repeat with a calibrated meter.";
  out.facts.push_back(std::move(finding));
}

void not_dated(const InstrumentUse& use, Suspects& out) {
  if (use.undated.empty()) return;
  Finding finding = finding_about("calibration-undated", Weight::note, use, use.undated);
  finding.summary = fmt::format(
      "Tests made with {} on a day that is not known: {}. Nothing shows that its certificate covered them.",
      use.instrument, use.undated.size());
  finding.advice = "Give the readings their dates.";
  out.facts.push_back(std::move(finding));
}

void ends_soon(const Assessment& all, const InstrumentUse& use, std::size_t left, double warn_days,
               Suspects& out) {
  if (use.last_s == 0 || left == 0 || !use.outside.empty()) return;
  const Calibration& certificate = *last_certificate(all, use.instrument);
  const Instant warned = day_of(certificate.through, -static_cast<std::int64_t>(warn_days));
  if (use.last_s < warned.seconds) return;
  Finding finding = finding_about("calibration-ends", Weight::note, use, {});
  finding.summary = fmt::format("The certificate of {} ends on {}; tests still to be made: {}.",
                                use.instrument, iso_text(certificate.through), left);
  finding.evidence = {{"tests", static_cast<double>(left)}, {"valid_through", iso_text(certificate.through)}};
  finding.advice = "Finish before that day, or have another calibrated instrument at hand.";
  out.facts.push_back(std::move(finding));
}

}  // namespace

void detect_calibration(const Assessment& all, const DiagnosisPractice& practice,
                        const std::vector<InstrumentUse>& uses, Suspects& out) {
  const std::size_t left = all.summary.count(Outcome::not_tested);
  for (const InstrumentUse& use : uses) {
    outside_certificate(all, use, out);
    not_listed(use, out);
    not_dated(use, out);
    ends_soon(all, use, left, practice.calibration_warning_days, out);
  }
}

}  // namespace strandbook
