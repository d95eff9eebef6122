// Readings too alike to have been measured: a meter that stuck, a value copied down the column.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "domain/diagnosis/sentence.hpp"
#include "domain/diagnosis/table_detectors.hpp"

namespace strandbook {
namespace {

/// Step in which the values of a column are written: 0.1, 0.01 or 0.001 dB.
double written_step(const std::vector<double>& values) {
  for (const double step : {0.1, 0.01}) {
    const bool all = std::all_of(values.begin(), values.end(), [step](double value) {
      return std::abs(value / step - std::round(value / step)) < 1e-6;
    });
    if (all) return step;
  }
  return 0.001;
}

struct Run {
  std::size_t first = 0;
  std::size_t length = 0;
};

Run longest_run(const std::vector<double>& values) {
  Run best;
  std::size_t begin = 0;
  for (std::size_t i = 0; i <= values.size(); ++i) {
    if (i < values.size() && values[i] == values[begin]) continue;
    if (i - begin > best.length) best = {begin, i - begin};
    begin = i;
  }
  return best;
}

}  // namespace

void detect_alike(const LinkTable& table, Explained& explained, Suspects& out) {
  constexpr std::size_t least_run = 6;
  for (std::size_t column = 0; column < table.columns().size(); ++column) {
    std::vector<double> values;
    std::vector<std::size_t> rows;
    for (std::size_t row = 0; row < table.strands(); ++row) {
      const std::uint32_t test = table.sound(row, column);
      if (test == nothing) continue;
      values.push_back(table.all().readings.rows[table.all().tests[test].reading].value);
      rows.push_back(row);
    }
    if (values.size() < least_run) continue;
    out.looked(Family::alike, 1);
    const Run run = longest_run(values);
    if (run.length < least_run) continue;
    // Two measured values agree to the last digit with the density of their difference times the step.
    const double spread = table.practice().spread.repeat.value;
    const double agree = std::min(1.0, written_step(values) / (2 * std::sqrt(std::numbers::pi) * spread));
    const double probability =
        static_cast<double>(values.size()) * std::pow(agree, static_cast<double>(run.length - 1));
    Finding finding;
    finding.kind = "readings-alike";
    const LinkTable::Column& at = table.columns()[column];
    finding.about = fmt::format("{}@{}@{}", table.name(), at.wavelength.value, direction_words(at.direction));
    for (std::size_t i = run.first; i < run.first + run.length; ++i)
      finding.tests.push_back(table.test(rows[i], column));
    std::sort(finding.tests.begin(), finding.tests.end());
    finding.summary = fmt::format(
        "In {} {} strands one after the other have the very same reading ({:g}) at {} nm {}: no meter shows "
        "that.",
        table.name(), run.length, values[run.first], at.wavelength.value, direction_words(at.direction));
    finding.evidence = {
        {"alike", static_cast<double>(run.length)}, {"value", values[run.first]}, {"agree_by_chance", agree}};
    finding.advice =
        "Measure two of them again. If they differ, measure all: the meter stuck or the value was copied.";
    Picture picture;
    picture.x_name = "position in the link";
    picture.y_name = fmt::format("reading at {} nm", at.wavelength.value);
    for (std::size_t i = 0; i < std::min(values.size(), Picture::most_points); ++i)
      picture.points.push_back(
          {static_cast<double>(rows[i] + 1), values[i], i >= run.first && i < run.first + run.length});
    finding.picture = std::move(picture);
    constexpr double sure = 1e-5;
    for (std::size_t i = run.first; probability < sure && i < run.first + run.length; ++i)
      explained[rows[i]] = true;
    out.suspect(Family::alike, probability, std::move(finding));
  }
}

}  // namespace strandbook
