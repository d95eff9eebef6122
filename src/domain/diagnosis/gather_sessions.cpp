#include <algorithm>
#include <cmath>

#include "domain/diagnosis/session.hpp"
#include "domain/plan/test_plan.hpp"
#include "domain/statistics/robust.hpp"

namespace strandbook {
namespace {

constexpr double huber_tuning = 1.345;  // 95 % efficient for normal data

class Gatherer {
 public:
  Gatherer(const LinkTable& table, const Explained& explained, std::uint32_t block, SessionFacts& out)
      : table_(table), all_(table.all()), explained_(explained), block_(block), out_(out) {}

  void run() {
    entry_of_.assign(table_.tests().size(), nothing);
    first_level_ = out_.levels.size();
    first_pair_ = out_.pairs.size();
    for (std::size_t column = 0; column < table_.columns().size(); ++column) take_column(column);
    for (std::size_t a = 0; a < table_.columns().size(); ++a)
      for (std::size_t b = 0; b < table_.columns().size(); ++b)
        if (are_partners(a, b)) take_pair(a, b);
  }

 private:
  std::uint32_t usable(std::size_t row, std::size_t column) const {
    return explained_[row] ? nothing : table_.sound(row, column);
  }

  /// One after the other in wavelength and of one direction, or of one wavelength and both directions.
  bool are_partners(std::size_t a, std::size_t b) const {
    const auto& one = table_.columns()[a];
    const auto& other = table_.columns()[b];
    if (one.wavelength == other.wavelength)
      return one.direction == Direction::a_to_b && other.direction == Direction::b_to_a;
    if (one.direction != other.direction || one.wavelength > other.wavelength) return false;
    return std::none_of(table_.columns().begin(), table_.columns().end(), [&](const LinkTable::Column& each) {
      return each.direction == one.direction && each.wavelength > one.wavelength &&
             each.wavelength < other.wavelength;
    });
  }

  void take_column(std::size_t column) {
    // Sessions of one column are few: each is taken in turn.
    std::vector<SessionKey> done;
    for (std::size_t row = 0; row < table_.strands(); ++row) {
      const std::uint32_t index = usable(row, column);
      if (index == nothing) continue;
      const SessionKey session = session_of(all_, all_.tests[index]);
      if (std::find(done.begin(), done.end(), session) != done.end()) continue;
      done.push_back(session);
      take_level(column, session, index);
    }
  }

  void take_level(std::size_t column, SessionKey session, std::uint32_t sample) {
    std::vector<double> losses;
    std::vector<std::uint32_t> tests;
    double length = 0;
    for (std::size_t row = 0; row < table_.strands(); ++row) {
      const std::uint32_t index = usable(row, column);
      if (index == nothing || session_of(all_, all_.tests[index]) != session) continue;
      const double fibre = table_.typical_fibre(row, table_.columns()[column].wavelength).value_or(0);
      losses.push_back(table_.loss(index) - fibre);
      length += table_.scheduled(row).length.value_or(Metres{0}).value / 1000;
      tests.push_back(index);
    }
    const ScheduledStrand& strand = all_.schedule[all_.tests[sample].strand];
    const auto n = static_cast<double>(losses.size());
    LevelCell cell;
    cell.session = session;
    cell.wavelength_nm = table_.columns()[column].wavelength.value;
    cell.mode = mode_of(strand, table_.columns()[column].wavelength).value_or(FibreMode::multimode);
    cell.comparable =
        strand.length && strand.connections && strand.fibre &&
        table_.typical_fibre(all_.tests[sample].strand - table_.first(), table_.columns()[column].wavelength);
    cell.block = block_;
    cell.sample = sample;
    cell.count = n;
    cell.length_km = length / n;
    cell.connections = strand.connections.value_or(0);
    cell.splices = strand.splices.value_or(0);
    cell.loss_db = huber_location(losses, huber_tuning);
    for (std::size_t i = 0; i < tests.size(); ++i) take_entry(cell, tests[i], losses[i]);
    add_level(cell);
  }

  void take_entry(const LevelCell& cell, std::uint32_t index, double loss) {
    const JudgedTest& test = all_.tests[index];
    const Reading& reading = all_.readings.rows[test.reading];
    SessionEntry entry;
    entry.timed = reading.has_time && reading.time.timed;
    entry.second = entry.timed ? reading.time.seconds : 0;
    entry.row = reading.row;
    entry.test = index;
    entry.strand = test.strand;
    entry.block = block_;
    entry.level_db = static_cast<float>(loss - cell.loss_db);
    const DiagnosisPractice& practice = table_.practice();
    if (cell.comparable)
      entry.job_level_db = static_cast<float>(loss - cell.connections * practice.connection.typical.value -
                                              cell.splices * practice.splice.typical.value);
    entry_of_[index - table_.first_test()] = static_cast<std::uint32_t>(out_.entries.size());
    out_.entries.emplace_back(cell.session, entry);
  }

  /// Both directions of a strand share its connections and count as one witness: their mean stands for both.
  void add_level(const LevelCell& cell) {
    for (std::size_t i = first_level_; i < out_.levels.size(); ++i) {
      LevelCell& held = out_.levels[i];
      if (held.session != cell.session || held.wavelength_nm != cell.wavelength_nm) continue;
      held.loss_db = mean(held.loss_db, held.count, cell.loss_db, cell.count);
      held.length_km = mean(held.length_km, held.count, cell.length_km, cell.count);
      held.count = std::max(held.count, cell.count);
      return;
    }
    out_.levels.push_back(cell);
  }
  void add_pair(const PairCell& cell) {
    for (std::size_t i = first_pair_; i < out_.pairs.size(); ++i) {
      PairCell& held = out_.pairs[i];
      if (held.one != cell.one || held.other != cell.other || held.one_nm != cell.one_nm ||
          held.other_nm != cell.other_nm)
        continue;
      held.difference_db = mean(held.difference_db, held.count, cell.difference_db, cell.count);
      held.length_km = mean(held.length_km, held.count, cell.length_km, cell.count);
      held.spread_db = std::max(held.spread_db, cell.spread_db);
      held.count = std::max(held.count, cell.count);
      return;
    }
    out_.pairs.push_back(cell);
  }
  static double mean(double a, double weight_a, double b, double weight_b) {
    return (a * weight_a + b * weight_b) / (weight_a + weight_b);
  }

  void take_pair(std::size_t a, std::size_t b) {
    struct Difference {
      SessionKey one = 0;
      SessionKey other = 0;
      std::uint32_t one_test = 0;
      std::uint32_t other_test = 0;
      double value = 0;
      double length_km = 0;
    };
    std::vector<Difference> all;
    for (std::size_t row = 0; row < table_.strands(); ++row) {
      const std::uint32_t one = usable(row, a);
      const std::uint32_t other = usable(row, b);
      if (one == nothing || other == nothing) continue;
      const SessionKey first = session_of(all_, all_.tests[one]);
      const SessionKey second = session_of(all_, all_.tests[other]);
      if (first == second) continue;
      const auto fibre_at_a = table_.typical_fibre(row, table_.columns()[a].wavelength);
      const auto fibre_at_b = table_.typical_fibre(row, table_.columns()[b].wavelength);
      // Two wavelengths differ by the fibre's own loss: where it is not known their difference tells nothing.
      const bool one_wavelength = table_.columns()[a].wavelength == table_.columns()[b].wavelength;
      if (!one_wavelength && (!fibre_at_a || !fibre_at_b)) continue;
      const double fibre_a = fibre_at_a.value_or(0);
      const double fibre_b = fibre_at_b.value_or(0);
      all.push_back({first, second, one, other, table_.loss(other) - fibre_b - table_.loss(one) + fibre_a,
                     table_.scheduled(row).length.value_or(Metres{0}).value / 1000});
    }
    while (!all.empty()) {
      const SessionKey one = all.back().one;
      const SessionKey other = all.back().other;
      std::vector<double> values;
      double length = 0;
      for (const Difference& each : all)
        if (each.one == one && each.other == other) {
          values.push_back(each.value);
          length += each.length_km;
        }
      PairCell cell{
          one,
          other,
          table_.columns()[a].wavelength.value,
          table_.columns()[b].wavelength.value,
          mode_of(table_.scheduled(0), table_.columns()[a].wavelength).value_or(FibreMode::multimode),
          block_,
          all.back().one_test,
          all.back().other_test,
          static_cast<double>(values.size()),
          0,
          0,
          length / static_cast<double>(values.size())};
      cell.difference_db = huber_location(values, huber_tuning);
      cell.spread_db = median_and_mad(values).scale;
      add_pair(cell);
      for (const Difference& each : all)
        if (each.one == one && each.other == other) {
          note_contrast(each.one_test, -each.value);
          note_contrast(each.other_test, each.value);
        }
      std::erase_if(all, [&](const Difference& each) { return each.one == one && each.other == other; });
    }
  }

  void note_contrast(std::uint32_t test, double value) {
    const std::uint32_t at = entry_of_[test - table_.first_test()];
    if (at == nothing) return;
    float& contrast = out_.entries[at].second.contrast_db;
    if (std::isnan(contrast)) contrast = static_cast<float>(value);
  }

  const LinkTable& table_;
  const Assessment& all_;
  const Explained& explained_;
  std::uint32_t block_;
  SessionFacts& out_;
  std::size_t first_level_ = 0;  ///< of this table
  std::size_t first_pair_ = 0;
  std::vector<std::uint32_t> entry_of_;  ///< per test of the table: its place among the entries
};

}  // namespace

bool SessionEvidence::is_closed(SessionKey session) const {
  const auto row = reference_of(session);
  return row && (*closed)[*row];
}

std::vector<std::uint32_t> SessionEvidence::tests_of(SessionKey session) const {
  std::vector<std::uint32_t> tests;
  for (auto at = series->lower_bound({session, 0}); at != series->end() && at->first.session == session; ++at)
    for (const SessionEntry& entry : at->second) tests.push_back(entry.test);
  std::sort(tests.begin(), tests.end());
  return tests;
}

void gather_sessions(const LinkTable& table, const Explained& explained, std::uint32_t block,
                     SessionFacts& out) {
  Gatherer(table, explained, block, out).run();
}

}  // namespace strandbook
