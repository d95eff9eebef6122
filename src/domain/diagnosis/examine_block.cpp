#include "domain/diagnosis/examine_block.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <string_view>

namespace strandbook {
namespace {

std::uint64_t mark_of(std::uint64_t value) {
  value += 0x9e3779b97f4a7c15ULL;
  value = (value ^ (value >> 30)) * 0xbf58476d1ce4e5b9ULL;
  value = (value ^ (value >> 27)) * 0x94d049bb133111ebULL;
  return value ^ (value >> 31);
}

/// Tables of a block: one for each link; neighbouring small links of one kind share one.
std::vector<Block> tables_of(const Assessment& all, const Block& block) {
  constexpr std::uint32_t small = 8;
  const auto same_kind = [&](std::uint32_t a, std::uint32_t b) {
    const ScheduledStrand& one = all.schedule[a];
    const ScheduledStrand& other = all.schedule[b];
    return one.fibre && one.length && other.length && one.fibre == other.fibre && one.connections &&
           one.splices && one.connections == other.connections && one.splices == other.splices;
  };
  std::vector<Block> links;
  std::uint32_t test = block.first_test;
  for (std::uint32_t strand = block.first; strand < block.last; ++strand) {
    if (links.empty() || link_name(all.schedule[strand]) != link_name(all.schedule[strand - 1]))
      links.push_back({strand, strand, test, test});
    while (test < block.last_test && all.tests[test].strand == strand) ++test;
    links.back().last = strand + 1;
    links.back().last_test = test;
  }
  std::vector<Block> tables;
  bool previous_small = false;
  for (const Block& link : links) {
    const bool is_small = link.last - link.first < small;
    if (!tables.empty() && is_small && previous_small && same_kind(tables.back().first, link.first)) {
      tables.back().last = link.last;
      tables.back().last_test = link.last_test;
    } else {
      tables.push_back(link);
    }
    previous_small = is_small;
  }
  return tables;
}

void take_prints(const LinkTable& table, std::vector<ColumnPrint>& prints) {
  constexpr std::uint32_t least_of_print = 6;
  constexpr std::uint32_t least_distinct = 4;
  for (std::size_t column = 0; column < table.columns().size(); ++column) {
    ColumnPrint print;
    std::vector<double> seen;
    for (std::size_t row = 0; row < table.strands(); ++row) {
      const std::uint32_t test = table.sound(row, column);
      if (test == nothing) continue;
      const double value = std::round(table.loss(test) * 1e4);  // losses are copied, not levels
      if (print.count == 0) print.sample = test;
      ++print.count;
      print.print = mark_of(print.print ^ std::bit_cast<std::uint64_t>(value));
      if (seen.size() < least_distinct && std::find(seen.begin(), seen.end(), value) == seen.end())
        seen.push_back(value);
    }
    if (print.count >= least_of_print && seen.size() >= least_distinct) prints.push_back(print);
  }
}

class FactorCounter {
 public:
  FactorCounter(const Assessment& all, std::vector<FactorCount>& counts) : all_(all), counts_(counts) {}

  void take(std::uint32_t strand, std::span<const JudgedTest> tests, std::uint32_t first_test) {
    std::uint32_t bad = nothing;
    const JudgedTest* judged = nullptr;
    for (std::size_t i = 0; i < tests.size(); ++i) {
      if (!tests[i].judged()) continue;
      if (judged == nullptr) judged = &tests[i];
      if (bad == nothing &&
          (tests[i].outcome == Outcome::fail || tests[i].outcome == Outcome::conditional_fail))
        bad = first_test + static_cast<std::uint32_t>(i);
    }
    if (judged == nullptr) return;
    const ScheduledStrand& row = all_.schedule[strand];
    const Reading& reading = all_.readings.rows[judged->reading];
    count(Factor::end_a, row.end_a, strand, bad);
    count(Factor::end_b, row.end_b, strand, bad);
    count(Factor::cable, link_name(row), strand, bad);
    count(Factor::building, row.building, strand, bad);
    count(Factor::position, row.strand, strand, bad);
    count(Factor::operator_name, reading.operator_name, strand, bad);
    count(Factor::source, reading.source, strand, bad);
    count(Factor::cords, reading.cords, strand, bad);
  }

 private:
  void count(Factor factor, std::string_view level, std::uint32_t strand, std::uint32_t bad) {
    if (level.empty()) return;
    auto at = std::find_if(counts_.begin(), counts_.end(), [&](const FactorCount& each) {
      return each.factor == factor && each.level == level;
    });
    if (at == counts_.end()) {
      counts_.push_back({factor, std::string(level), 0, 0, 0, 0, {}});
      at = counts_.end() - 1;
    }
    ++at->tested;
    if (bad == nothing) return;
    ++at->bad;
    at->who += mark_of(strand);
    at->links |= 1ULL << (std::hash<std::string>{}(link_name(all_.schedule[strand])) % 64);
    at->bad_tests.push_back(bad);
  }

  const Assessment& all_;
  std::vector<FactorCount>& counts_;
};

/// Whether a typed loss is nearer to the headroom than to the loss that its link should have.
void weigh_headroom(const LinkTable& table, std::vector<FileLosses>& files) {
  const DiagnosisPractice& practice = table.practice();
  for (std::size_t column = 0; column < table.columns().size(); ++column)
    for (std::size_t row = 0; row < table.strands(); ++row) {
      const std::uint32_t index = table.sound(row, column);
      if (index == nothing) continue;
      const JudgedTest& test = table.all().tests[index];
      const Reading& reading = table.all().readings.rows[test.reading];
      const ScheduledStrand& strand = table.scheduled(row);
      const auto fibre = table.typical_fibre(row, test.wavelength);
      if (reading.kind != ReadingKind::loss || test.limit == nothing || !fibre || !strand.connections)
        continue;
      const double expected = *fibre + *strand.connections * practice.connection.typical.value +
                              strand.splices.value_or(0) * practice.splice.typical.value;
      const double headroom = table.all().limits[test.limit].value.value - expected;
      constexpr double apart_db = 0.5;
      if (std::abs(headroom - expected) < apart_db) continue;
      const auto at = std::find_if(files.begin(), files.end(),
                                   [&](const FileLosses& each) { return each.file == reading.file; });
      if (at == files.end()) continue;
      constexpr double near_db = 0.3;
      if (std::abs(test.loss.value - headroom) < near_db) ++at->near_headroom;
      if (std::abs(test.loss.value - expected) < std::abs(test.loss.value - headroom)) ++at->near_loss;
    }
}

void count_losses(const Assessment& all, const Block& block, const ReadingsOf& readings_of,
                  std::vector<FileLosses>& files) {
  constexpr double like_a_level_db = -5;
  for (std::uint32_t strand = block.first; strand < block.last; ++strand)
    for (const std::uint32_t row : readings_of(strand)) {
      const Reading& reading = all.readings.rows[row];
      if (reading.kind != ReadingKind::loss) continue;
      if (files.empty() || files.back().file != reading.file) {
        const auto at = std::find_if(files.begin(), files.end(),
                                     [&](const FileLosses& each) { return each.file == reading.file; });
        if (at == files.end())
          files.push_back({reading.file});
        else
          std::rotate(at, at + 1, files.end());
      }
      FileLosses& file = files.back();
      ++file.losses;
      if (reading.value < 0) ++file.negative;
      if (reading.value < like_a_level_db) ++file.far_negative;
    }
}

}  // namespace

BlockFacts examine_block(const Assessment& all, const DiagnosisPractice& practice, const Block& block,
                         std::uint32_t number, const ReadingsOf& readings_of) {
  BlockFacts facts;
  count_losses(all, block, readings_of, facts.files);
  facts.instruments = instruments_in_use(all, block.first_test, block.last_test);
  FactorCounter counter(all, facts.factors);
  std::uint32_t first = block.first_test;
  for (std::uint32_t i = block.first_test; i < block.last_test; ++i) {
    const JudgedTest& test = all.tests[i];
    if (test.reason != Reason::none && test.reason != Reason::no_reading)
      facts.by_reason[static_cast<std::size_t>(test.reason)].push_back(i);
    if (test.other_readings > 0) {
      facts.repeated.push_back(i);
      detect_selection(all, practice, i, readings_of(test.strand), facts.suspects);
    }
    if (i + 1 < block.last_test && all.tests[i + 1].strand == test.strand) continue;
    counter.take(test.strand, std::span(all.tests).subspan(first, i + 1 - first), first);
    first = i + 1;
  }
  for (const Block& part : tables_of(all, block)) {
    const LinkTable table(all, practice, part);
    Explained explained(table.strands(), false);
    detect_alike(table, explained, facts.suspects);
    detect_wavelengths(table, explained, facts.suspects);
    detect_directions(table, explained, facts.suspects);
    detect_unlike(table, explained, facts.suspects);
    detect_below_fibre(table, facts.suspects);
    detect_lengths(table, facts.suspects);
    detect_limit_count(table, facts.suspects);
    detect_gaps(table, facts.suspects);
    gather_sessions(table, explained, number, facts.sessions);
    weigh_headroom(table, facts.files);
    take_prints(table, facts.prints);
  }
  return facts;
}

}  // namespace strandbook
