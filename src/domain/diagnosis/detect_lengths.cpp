// Length as measured against length as scheduled, and loss against what the fibre alone must lose.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "domain/diagnosis/sentence.hpp"
#include "domain/diagnosis/table_detectors.hpp"
#include "domain/statistics/robust.hpp"

namespace strandbook {
namespace {

struct MeasuredLength {
  std::size_t row = 0;
  double scheduled = 0;
  double measured = 0;
  double ratio() const { return measured / scheduled; }
};

std::vector<MeasuredLength> lengths_of(const LinkTable& table) {
  std::vector<MeasuredLength> lengths;
  for (std::size_t row = 0; row < table.strands(); ++row) {
    const auto scheduled = table.scheduled(row).length;
    if (!scheduled || scheduled->value <= 0) continue;
    for (std::size_t column = 0; column < table.columns().size(); ++column) {
      const std::uint32_t test = table.test(row, column);
      if (test == nothing || table.all().tests[test].reading == nothing) continue;
      const double measured = table.all().readings.rows[table.all().tests[test].reading].length_m;
      if (!(measured > 0)) continue;
      lengths.push_back({row, scheduled->value, measured});
      break;
    }
  }
  return lengths;
}

bool near(double ratio, double target) { return std::abs(ratio / target - 1) < 0.04; }

void tell_lengths(const LinkTable& table, const std::vector<MeasuredLength>& off, const char* kind,
                  std::string about, const std::string& summary, const char* advice, Suspects& out) {
  std::vector<std::size_t> rows;
  std::vector<double> ratios;
  for (const MeasuredLength& each : off) {
    rows.push_back(each.row);
    ratios.push_back(each.ratio());
  }
  Finding finding;
  finding.kind = kind;
  finding.about = std::move(about);
  finding.tests = measured_tests(table, rows);
  finding.summary = summary;
  finding.evidence = {{"scheduled_m", off.front().scheduled},
                      {"measured_m", off.front().measured},
                      {"ratio", median_in_place(ratios)},
                      {"first", table.name()}};
  finding.advice = advice;
  out.facts.push_back(std::move(finding));
}

}  // namespace

void detect_lengths(const LinkTable& table, Suspects& out) {
  const std::vector<MeasuredLength> lengths = lengths_of(table);
  constexpr double feet_per_metre = 1 / 0.3048;
  const LeastEffects& least = table.practice().least;
  std::vector<MeasuredLength> feet;
  std::vector<MeasuredLength> other;
  for (const MeasuredLength& each : lengths) {
    if (near(each.ratio(), feet_per_metre) || near(each.ratio(), 1 / feet_per_metre))
      feet.push_back(each);
    else if (std::abs(each.ratio() - 1) > least.length_share &&
             std::abs(each.measured - each.scheduled) > least.length.value)
      other.push_back(each);
  }
  // One slip spoils a whole file: it is told once for the job.
  const char* times = feet.empty() || feet.front().ratio() > 1 ? "3.28" : "0.305";
  if (!feet.empty())
    tell_lengths(
        table, feet, "length-units", times,
        fmt::format("Measured lengths are those of the schedule times {}: feet were taken for metres "
                    "in one of them.",
                    times),
        "See which of the two is right and correct it: the limit grows with the length.", out);
  if (!other.empty())
    tell_lengths(
        table, other, "length-differs", table.name(),
        fmt::format("In {} the measured lengths of {} differ from the schedule by more than {:.0f} %.",
                    table.name(), counted_words(other.size(), "strand", "strands"), 100 * least.length_share),
        "Check the schedule against the drawing and the meter marks on the sheath, and whether this is the "
        "cable "
        "that was meant.",
        out);
}

void detect_below_fibre(const LinkTable& table, Suspects& out) {
  constexpr std::size_t least_short_strands = 3;
  for (std::size_t column = 0; column < table.columns().size(); ++column) {
    const LinkTable::Column& at = table.columns()[column];
    std::vector<std::size_t> rows;
    std::size_t known = 0;
    double lowest = 0;
    for (std::size_t row = 0; row < table.strands(); ++row) {
      const ScheduledStrand& strand = table.scheduled(row);
      const TypicalAttenuation* typical = typical_at(table.practice(), strand.fibre, at.wavelength);
      const std::uint32_t test = table.sound(row, column);
      if (typical == nullptr || !strand.length || test == nothing) continue;
      ++known;
      const double missing = table.loss(test) - (typical->least * *strand.length).value;
      const double allowed = table.practice().least_offset.value + 3 * table.practice().spread.repeat.value;
      if (missing > -allowed) continue;
      rows.push_back(row);
      lowest = std::min(lowest, missing);
    }
    if (rows.empty() || (known > least_short_strands && 2 * rows.size() < known)) continue;
    Finding finding;
    finding.kind = "below-fibre";
    finding.weight = Weight::stop;
    finding.about = fmt::format("{}@{}", table.name(), at.wavelength.value);
    finding.tests = measured_tests(table, rows);
    finding.summary = fmt::format(
        "In {} {} less at {} nm than {:.0f} m of fibre alone must: the length, the wavelength or the "
        "reference is "
        "wrong.",
        table.name(), rows.size() == 1 ? "1 strand loses" : fmt::format("{} strands lose", rows.size()),
        at.wavelength.value, table.scheduled(rows.front()).length->value);
    finding.evidence = {{"below_db", lowest}, {"strands", static_cast<double>(rows.size())}};
    finding.advice = "Check the length of the schedule (feet?), then the wavelength, then the reference.";
    out.facts.push_back(std::move(finding));
  }
}

}  // namespace strandbook
