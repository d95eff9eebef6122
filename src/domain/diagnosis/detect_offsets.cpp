// Which reference is off: sessions set beside each other by level, and strand by strand where two sessions
// share strands at two wavelengths or from both ends.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <unordered_map>

#include "domain/diagnosis/compare_groups.hpp"
#include "domain/diagnosis/sentence.hpp"
#include "domain/diagnosis/session.hpp"

namespace strandbook {
namespace {

/// What speaks against one session.
struct Case {
  SessionKey session = 0;
  SessionKey other = 0;  ///< the session beside it, where it may as well be that one
  std::uint32_t sample = 0;
  double offset = 0;  ///< of its losses, dB
  double deviation = 0;
  double probability = 1;
  bool either = false;
  bool alone = false;  ///< set against expectation only
  const char* seen = "";
  Picture picture;
};

using SessionPair = std::pair<SessionKey, SessionKey>;
struct HashOfPair {
  std::size_t operator()(const SessionPair& pair) const {
    constexpr std::uint64_t golden = 0x9e3779b97f4a7c15ULL;
    return std::hash<std::uint64_t>{}(static_cast<std::uint64_t>(pair.first) * golden ^
                                      static_cast<std::uint64_t>(pair.second));
  }
};

class OffsetLook {
 public:
  OffsetLook(const Assessment& all, const DiagnosisPractice& practice, const SessionEvidence& evidence,
             Suspects& out)
      : all_(all), practice_(practice), evidence_(evidence), out_(out) {}

  void run() {
    compare_levels();
    compare_pairs();
    for (const auto& [session, each] : cases_) tell(each);
  }

 private:
  ComparisonModel model(std::array<PriorValue, 3> priors) const {
    ComparisonModel made;
    made.priors = priors;
    made.least = practice_.least_offset.value;
    made.usual_error = practice_.least_offset.value / 4;
    return made;
  }

  const TypicalAttenuation* typical(std::uint32_t sample) const {
    const JudgedTest& test = all_.tests[sample];
    return typical_at(practice_, all_.schedule[test.strand].fibre, test.wavelength);
  }
  double makes(std::uint32_t sample) const {
    const TypicalAttenuation* row = typical(sample);
    return row == nullptr ? 0.05 : row->deviation.value;
  }

  void compare_levels() {
    std::map<ComparisonMemory::Window, std::vector<const LevelCell*>> windows;
    for (const LevelCell* cell : evidence_.levels)
      if (cell->comparable)
        windows[{static_cast<double>(cell->mode), cell->wavelength_nm, 0}].push_back(cell);
    for (const auto& [window, cells] : windows) {
      std::unordered_map<SessionKey, std::size_t> groups;
      groups.reserve(cells.size());
      std::vector<GroupRow> rows;
      rows.reserve(cells.size());
      for (const LevelCell* cell : cells) {
        const std::size_t group = groups.try_emplace(cell->session, groups.size()).first->second;
        const UsualSpread& spread = practice_.spread;
        const double own = spread.strand.value * spread.strand.value / cell->count;
        rows.push_back({cell->loss_db,
                        {cell->length_km, cell->connections, cell->splices},
                        own + spread.cable.value * spread.cable.value,
                        group});
      }
      const GroupComparison& result = evidence_.memory->compare(
          window, rows, groups.size(),
          model({PriorValue{0, makes(cells.front()->sample)},
                 {practice_.connection.typical.value, practice_.connection.deviation.value},
                 {practice_.splice.typical.value, practice_.splice.deviation.value}}));
      out_.looked(Family::offset, result.compared);
      std::vector<const LevelCell*> first(groups.size(), nullptr);
      for (const LevelCell* cell : cells)
        if (first[groups[cell->session]] == nullptr) first[groups[cell->session]] = cell;
      for (const auto& [session, group] : groups)
        level_effect_[session] = result.effects.empty() ? 0 : result.effects[group].value;
      for (const OddGroup& odd : result.odd)
        if (says_enough(odd, cells)) take_level(odd, cells, rows, first);
    }
  }

  /// Expectation alone says little of a few strands: they may well be poor themselves.
  static bool says_enough(const OddGroup& odd, const std::vector<const LevelCell*>& cells) {
    constexpr double enough_strands = 8;
    double strands = 0;
    for (const LevelCell* cell : cells) strands += cell->count;
    return !odd.alone || strands >= enough_strands;
  }

  void take_level(const OddGroup& odd, const std::vector<const LevelCell*>& cells,
                  const std::vector<GroupRow>& rows, const std::vector<const LevelCell*>& first) {
    Case found;
    found.session = first[odd.group]->session;
    found.sample = first[odd.group]->sample;
    found.offset = odd.difference;
    found.deviation = odd.deviation;
    found.probability = odd.probability;
    found.either = odd.one_of_two;
    found.alone = odd.alone;
    found.seen = odd.alone ? "against what its connections and fibre typically lose"
                           : "against readings under other references";
    for (const LevelCell* cell : first)
      if (odd.one_of_two && cell != nullptr && cell->session != found.session) found.other = cell->session;
    found.picture.kind = Picture::Kind::offsets;
    found.picture.x_name = "cable and reference";
    found.picture.y_name = "above what is typical, dB";
    for (std::size_t i = 0; i < std::min(rows.size(), Picture::most_points); ++i)
      found.picture.points.push_back({static_cast<double>(i + 1),
                                      rows[i].y - rows[i].x[1] * practice_.connection.typical.value -
                                          rows[i].x[2] * practice_.splice.typical.value,
                                      cells[i]->session == found.session});
    keep(std::move(found));
  }

  void compare_pairs() {
    std::map<ComparisonMemory::Window, std::vector<const PairCell*>> windows;
    for (const PairCell* cell : evidence_.pairs)
      windows[{static_cast<double>(cell->mode), cell->one_nm, cell->other_nm}].push_back(cell);
    for (const auto& [window, cells] : windows) {
      std::unordered_map<SessionPair, std::size_t, HashOfPair> groups;
      groups.reserve(cells.size());
      std::vector<GroupRow> rows;
      rows.reserve(cells.size());
      const bool two_wavelengths = cells.front()->one_nm != cells.front()->other_nm;
      for (const PairCell* cell : cells) {
        const std::size_t group = groups.try_emplace({cell->one, cell->other}, groups.size()).first->second;
        const double usual =
            two_wavelengths ? std::hypot(practice_.spread.wavelength.value, practice_.spread.repeat.value)
                            : std::sqrt(2.0) * practice_.spread.repeat.value;
        // The group's own scatter, held up by the usual one as if that were worth eight strands.
        constexpr double usual_weight = 8;
        const double variance =
            (usual_weight * usual * usual + cell->count * cell->spread_db * cell->spread_db) /
            (usual_weight + cell->count);
        const double between_cables = two_wavelengths ? 0.02 : 0.01;
        rows.push_back({cell->difference_db,
                        {cell->length_km, two_wavelengths ? 1.0 : 0.0, 0},
                        variance / cell->count + between_cables * between_cables,
                        group});
      }
      const double makes_differ =
          two_wavelengths ? std::hypot(makes(cells.front()->one_sample), makes(cells.front()->other_sample))
                          : 1e-6;
      const GroupComparison& result = evidence_.memory->compare(
          window, std::move(rows), groups.size(),
          model({PriorValue{0, makes_differ}, {0, practice_.spread.wavelength_level.value}, {0, 1}}));
      out_.looked(Family::offset, result.compared);
      for (const OddGroup& odd : result.odd) {
        const auto cell = std::find_if(cells.begin(), cells.end(), [&](const PairCell* each) {
          return groups[{each->one, each->other}] == odd.group;
        });
        take_pair(odd, **cell, cells, two_wavelengths);
      }
    }
  }

  void take_pair(const OddGroup& odd, const PairCell& cell, const std::vector<const PairCell*>& cells,
                 bool two_wavelengths) {
    // Other less one is too large: the other reads high or the one low. Level and closing check tell which.
    const auto effect = [this](SessionKey session) {
      const auto at = level_effect_.find(session);
      return at == level_effect_.end() ? 0 : at->second;
    };
    const double sign = odd.difference > 0 ? 1 : -1;
    const double for_other = sign * effect(cell.other) - (evidence_.is_closed(cell.other) ? 1 : 0);
    const double for_one = -sign * effect(cell.one) - (evidence_.is_closed(cell.one) ? 1 : 0);
    const bool is_other = for_other >= for_one;
    Case found;
    found.session = is_other ? cell.other : cell.one;
    found.other = is_other ? cell.one : cell.other;
    found.sample = is_other ? cell.other_sample : cell.one_sample;
    found.offset = is_other ? odd.difference : -odd.difference;
    found.deviation = odd.deviation;
    found.probability = odd.probability;
    const double clearly = practice_.least_offset.value / 2;
    found.either = std::abs(for_other - for_one) < clearly;
    found.seen = two_wavelengths ? "against the same strands at the other wavelength"
                                 : "against the same strands in the other direction";
    found.picture.kind = Picture::Kind::offsets;
    found.picture.x_name = "cable and pair of references";
    found.picture.y_name = "difference of the two, dB";
    for (std::size_t i = 0; i < std::min(cells.size(), Picture::most_points); ++i)
      found.picture.points.push_back({static_cast<double>(i + 1), cells[i]->difference_db,
                                      cells[i]->one == cell.one && cells[i]->other == cell.other});
    keep(std::move(found));
  }

  /// One case for each session: the more striking evidence counts. A session named beside another that is
  /// already accused is not accused again by the same difference.
  void keep(Case found) {
    const auto named = cases_.find(found.other);
    if (found.other != 0 && named != cases_.end() && found.either) return;
    const auto [at, fresh] = cases_.try_emplace(found.session, found);
    if (!fresh && found.probability < at->second.probability) at->second = std::move(found);
  }

  void tell(const Case& found) {
    Finding finding;
    finding.kind = found.alone ? "level-unusual" : "reference-offset";
    finding.weight = found.alone ? Weight::look : Weight::stop;
    const JudgedTest& sample = all_.tests[found.sample];
    finding.about = session_words(all_, sample);
    finding.tests = evidence_.tests_of(found.session);
    std::string other;
    if (found.either && found.other != 0) {
      const std::vector<std::uint32_t> more = evidence_.tests_of(found.other);
      if (!more.empty()) other = session_words(all_, all_.tests[more.front()]);
      finding.tests.insert(finding.tests.end(), more.begin(), more.end());
    }
    std::sort(finding.tests.begin(), finding.tests.end());
    finding.summary = summary_of(found, finding.about, other);
    constexpr double a_connection = 0.25;
    if (std::abs(found.offset) >= a_connection)
      finding.summary +=
          " That is the size of a connection: were more or fewer cords in the reference than stated?";
    std::vector<std::uint32_t> change = changing_outcome(found);
    finding.evidence = {{"offset_db", found.offset},
                        {"low_db", found.offset - 2 * found.deviation},
                        {"high_db", found.offset + 2 * found.deviation},
                        {"seen", found.seen},
                        {"outcomes_that_would_change", static_cast<double>(change.size())},
                        {"measure_first", change.empty() ? strands_named(all_, {sample.strand})
                                                         : strands_named(all_, change)}};
    finding.advice =
        "Clean and inspect the cord ends and take a new reference. Measure one of these strands under it: if "
        "it moves by "
        "as much, repeat all that is listed, those nearest the limit first.";
    finding.caution = live_port_caution;
    finding.picture = found.picture;
    out_.suspect(Family::offset, found.probability, std::move(finding));
  }

  static std::string summary_of(const Case& found, const std::string& about, const std::string& other) {
    const double size = std::abs(found.offset);
    const double band = 2 * found.deviation;
    const char* way = found.offset > 0 ? "high" : "low";
    if (!other.empty())
      return fmt::format(
          "{} and {}: the losses differ by {:.2f} ± {:.2f} dB, {}. One of the two is wrong, and nothing here "
          "tells which.",
          about, other, size, band, found.seen);
    if (found.alone)
      return fmt::format(
          "{}: the losses are {:.2f} ± {:.2f} dB too {}, {}. The reference is wrong, or the connections are "
          "unlike usual ones: nothing here tells which.",
          about, size, band, way, found.seen);
    return fmt::format("{}: the losses are {:.2f} ± {:.2f} dB too {}, {}. The reference is probably wrong.",
                       about, size, band, way, found.seen);
  }

  /// Strands whose outcome would be another without the offset: the least that must be measured again.
  std::vector<std::uint32_t> changing_outcome(const Case& found) const {
    std::vector<std::uint32_t> strands;
    for (const std::uint32_t index : evidence_.tests_of(found.session)) {
      const JudgedTest& test = all_.tests[index];
      if (test.limit == nothing || !test.judged()) continue;
      const double margin = all_.limits[test.limit].value.value - test.loss.value;
      if ((margin >= 0) == (margin + found.offset >= 0)) continue;
      if (strands.empty() || strands.back() != test.strand) strands.push_back(test.strand);
    }
    return strands;
  }

  const Assessment& all_;
  const DiagnosisPractice& practice_;
  const SessionEvidence& evidence_;
  Suspects& out_;
  std::map<SessionKey, Case> cases_;
  std::map<SessionKey, double> level_effect_;
};

}  // namespace

void detect_offsets(const Assessment& all, const DiagnosisPractice& practice, const SessionEvidence& evidence,
                    Suspects& out) {
  OffsetLook(all, practice, evidence, out).run();
}

}  // namespace strandbook
