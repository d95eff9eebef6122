// A whole link beyond its limit by the size of one part: counted wrongly more often than built wrongly.

#include <fmt/format.h>

#include <algorithm>

#include "domain/diagnosis/sentence.hpp"
#include "domain/diagnosis/table_detectors.hpp"
#include "domain/statistics/robust.hpp"

namespace strandbook {
namespace {

struct PossiblePart {
  const char* words;
  double worth = 0;  ///< dB it would add to the limit
};

/// What one more connection, or the two splices of a pair of pigtails, would be worth in this limit.
std::vector<PossiblePart> parts_of(const Limit& limit) {
  std::vector<PossiblePart> parts;
  const LimitTerm* splice = term_named(limit, "splices");
  if (splice != nullptr && splice->each.value > 0)
    parts.push_back({"a pair of pigtail splices", 2 * splice->each.value});
  for (const char* term : {"embedded connections", "end connections"}) {
    const LimitTerm* connection = term_named(limit, term);
    if (connection == nullptr || connection->each.value <= 0) continue;
    parts.push_back({"one connection", connection->each.value});
    break;
  }
  return parts;
}

}  // namespace

void detect_limit_count(const LinkTable& table, Suspects& out) {
  constexpr std::size_t least_counted_strands = 4;
  constexpr double nearly_all = 0.8;
  for (std::size_t column = 0; column < table.columns().size(); ++column) {
    std::vector<double> beyond;
    std::vector<std::uint32_t> tests;
    for (std::size_t row = 0; row < table.strands(); ++row) {
      const std::uint32_t index = table.sound(row, column);
      if (index == nothing || table.all().tests[index].limit == nothing) continue;
      const JudgedTest& test = table.all().tests[index];
      beyond.push_back((test.loss - table.all().limits[test.limit].value).value);
      tests.push_back(index);
    }
    if (beyond.size() < least_counted_strands) continue;
    const auto failing =
        static_cast<double>(std::count_if(beyond.begin(), beyond.end(), [](double b) { return b > 0; }));
    if (failing < nearly_all * static_cast<double>(beyond.size())) continue;
    const Limit& limit = table.all().limits[table.all().tests[tests.front()].limit];
    std::vector<double> copy = beyond;
    const Centre centre = median_and_mad(copy);
    // Alike to within what strands usually differ: else it is the strands, not the count.
    if (centre.scale > 2 * table.practice().spread.strand.value) continue;
    const double most = centre.location + 2 * centre.scale;
    for (const PossiblePart& part : parts_of(limit)) {
      if (most > part.worth) continue;
      Finding finding;
      finding.kind = "limit-count";
      finding.weight = Weight::stop;
      const LinkTable::Column& at = table.columns()[column];
      finding.about = fmt::format("{}@{}", table.name(), at.wavelength.value);
      finding.tests = tests;
      std::sort(finding.tests.begin(), finding.tests.end());
      finding.summary = fmt::format(
          "In {} {:.0f} of {} strands are beyond the limit at {} nm, all by about {:.2f} dB: less than {} "
          "({:.2f} dB), "
          "which the count may lack.",
          table.name(), failing, beyond.size(), at.wavelength.value, centre.location, part.words, part.worth);
      finding.evidence = {{"beyond_db", centre.location},
                          {"part_db", part.worth},
                          {"part", part.words},
                          {"limit_db", limit.value.value}};
      finding.advice =
          "Count connections and splices on the drawing and at the panels. Correct the schedule if it is "
          "wrong; if it is "
          "right, the whole link is bad: look at its reference first.";
      out.facts.push_back(std::move(finding));
      return;
    }
  }
}

/// Known to let no light through: not forgotten.
static bool is_dark(const Assessment& all, std::uint32_t strand) {
  return !all.continuity.strands.empty() && all.continuity.strands[strand].state == Continuity::dark;
}

void detect_gaps(const LinkTable& table, Suspects& out) {
  constexpr double mostly_done = 0.75;
  std::vector<std::uint32_t> missing;
  std::vector<std::uint32_t> strands;
  std::size_t whole = 0;
  std::size_t done = 0;
  const std::span<const JudgedTest> tests = table.tests();
  for (std::size_t row = 0, i = 0; row < table.strands(); ++row) {
    const std::uint32_t strand = table.first() + static_cast<std::uint32_t>(row);
    std::size_t own = 0;
    std::size_t due = 0;
    for (; i < tests.size() && tests[i].strand == strand; ++i, ++due) {
      if (tests[i].reason != Reason::no_reading || is_dark(table.all(), strand)) continue;
      missing.push_back(table.first_test() + static_cast<std::uint32_t>(i));
      ++own;
    }
    done += due - own;
    if (own > 0) strands.push_back(strand);
    if (own > 0 && own == due) ++whole;
  }
  if (missing.empty() || static_cast<double>(done) < mostly_done * static_cast<double>(done + missing.size()))
    return;
  Finding finding;
  finding.kind = "missing-tests";
  finding.weight = Weight::note;
  finding.about = table.name();
  finding.tests = missing;
  finding.summary =
      fmt::format("In {} {} missing, though the link is nearly done: {}.", table.name(),
                  missing.size() == 1 ? "1 test is" : fmt::format("{} tests are", missing.size()),
                  strands_named(table.all(), strands));
  finding.evidence = {{"missing", static_cast<double>(missing.size())},
                      {"strands_without_any", static_cast<double>(whole)},
                      {"done", static_cast<double>(done)}};
  finding.advice =
      "Measure them while the crew is here, or see whether they were recorded under another name.";
  out.facts.push_back(std::move(finding));
}

}  // namespace strandbook
