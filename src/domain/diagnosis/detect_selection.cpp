// Test until it passes: a repeat without an action in between is a draw from the noise.

#include <fmt/format.h>

#include <cmath>

#include "domain/diagnosis/examine_block.hpp"
#include "domain/diagnosis/sentence.hpp"
#include "domain/statistics/tails.hpp"

namespace strandbook {

void detect_selection(const Assessment& all, const DiagnosisPractice& practice, std::uint32_t index,
                      std::span<const std::uint32_t> readings, Suspects& out) {
  const JudgedTest& test = all.tests[index];
  if (!test.judged() || test.limit == nothing) return;
  const Limit& limit = all.limits[test.limit];
  if (test.loss > limit.value) return;
  const Reading& counts = all.readings.rows[test.reading];
  std::size_t failed = 0;
  double nearest = 0;
  for (const std::uint32_t row : readings) {
    const Reading& other = all.readings.rows[row];
    if (row == test.reading || other.kind != counts.kind || other.wavelength != counts.wavelength ||
        other.direction != counts.direction)
      continue;
    const double more =
        other.kind == ReadingKind::loss ? other.value - counts.value : counts.value - other.value;
    if (test.loss.value + more <= limit.value.value) continue;
    if (failed == 0 || more < nearest) nearest = more;
    ++failed;
  }
  const double noise = std::sqrt(2.0) * practice.spread.repeat.value;
  constexpr double beyond_noise = 3;
  if (failed == 0 || nearest > beyond_noise * noise) return;
  Finding finding;
  finding.kind = "repeat-selection";
  finding.about = fmt::format("{}@{}@{}", strands_named(all, {test.strand}), test.wavelength.value,
                              direction_words(test.direction));
  finding.tests = {index};
  finding.summary = fmt::format(
      "{} at {} nm passes only at a repeat that is {:.2f} dB better, no more than readings differ by "
      "themselves.",
      strands_named(all, {test.strand}), test.wavelength.value, nearest);
  finding.evidence = {{"better_db", nearest},
                      {"failed_before", static_cast<double>(failed)},
                      {"repeats_differ_db", noise},
                      {"chance_of_such_a_repeat", normal_upper_tail(nearest / noise)}};
  finding.advice =
      "Note what was done between the readings (cleaned, spliced again, cord changed). If nothing was, "
      "decide on the mean "
      "of all readings.";
  out.facts.push_back(std::move(finding));
}

}  // namespace strandbook
