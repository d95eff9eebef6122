// Fibre loses less at the longer wavelength, connections and splices about the same at both. Bends act more
// at the longer one.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "domain/diagnosis/sentence.hpp"
#include "domain/diagnosis/spread_estimate.hpp"
#include "domain/diagnosis/table_detectors.hpp"
#include "domain/link/same_window.hpp"
#include "domain/statistics/robust.hpp"

namespace strandbook {
namespace {

/// Two columns of one direction at neighbouring wavelengths.
struct ColumnPair {
  std::size_t shorter = 0;
  std::size_t longer = 0;
};

std::vector<ColumnPair> pairs_of(const LinkTable& table) {
  std::vector<ColumnPair> pairs;
  const auto& columns = table.columns();
  for (std::size_t a = 0; a < columns.size(); ++a) {
    std::optional<std::size_t> next;
    for (std::size_t b = 0; b < columns.size(); ++b)
      if (columns[b].direction == columns[a].direction && columns[b].wavelength > columns[a].wavelength &&
          (!next || columns[b].wavelength < columns[*next].wavelength))
        next = b;
    if (next && mode_tested_at(columns[a].wavelength) == mode_tested_at(columns[*next].wavelength))
      pairs.push_back({a, *next});
  }
  return pairs;
}

/// One strand's two losses and the difference that its fibre alone explains (not above 0).
struct Both {
  std::size_t row = 0;
  double shorter = 0;
  double longer = 0;
  double expected = 0;
  std::uint64_t sessions = 0;  ///< the two references, as one key
  double above = 0;            ///< excess beyond that of neighbours under the same references
  double excess() const { return longer - shorter - expected; }
};

class WavelengthLook {
 public:
  WavelengthLook(const LinkTable& table, ColumnPair pair, Explained& explained, Suspects& out)
      : table_(table), pair_(pair), explained_(explained), out_(out) {
    for (std::size_t row = 0; row < table.strands(); ++row) {
      const std::uint32_t a = table.sound(row, pair.shorter);
      const std::uint32_t b = table.sound(row, pair.longer);
      if (a == nothing || b == nothing) continue;
      const auto fibre_a = table.typical_fibre(row, table.columns()[pair.shorter].wavelength);
      const auto fibre_b = table.typical_fibre(row, table.columns()[pair.longer].wavelength);
      const Assessment& all = table.all();
      const std::uint64_t sessions = session_of(all, all.tests[a]) * 31 + session_of(all, all.tests[b]);
      strands_.push_back(
          {row, table.loss(a), table.loss(b), fibre_a && fibre_b ? *fibre_b - *fibre_a : 0, sessions, 0});
    }
  }

  /// Exchanged columns, in all strands or in one.
  void look_for_exchange() {
    if (strands_.empty() || whole_link_exchanged()) return;
    std::vector<const Both*> turned;
    for (const Both& each : strands_)
      if (!explained_[each.row] && looks_turned(each)) turned.push_back(&each);
    // More than a few are no slips of the pen: a reference is wrong.
    constexpr std::size_t few = 2;
    if (turned.size() > few) return;
    for (const Both* each : turned) tell_exchanged(*each);
  }

  void look_for_bends() {
    std::erase_if(strands_, [this](const Both& each) { return explained_[each.row]; });
    if (strands_.empty()) return;
    const DiagnosisPractice& practice = table_.practice();
    constexpr double prior_weight = 12;
    constexpr std::size_t enough_neighbours = 6;
    const double usual = std::hypot(practice.spread.wavelength.value, practice.spread.repeat.value);
    std::vector<double> excess;
    std::vector<std::uint64_t> sessions;
    for (const Both& each : strands_) {
      excess.push_back(each.excess());
      sessions.push_back(each.sessions);
    }
    if (strands_.size() < enough_neighbours) {
      spread_ = alone(usual, prior_weight);
    } else {
      centre_by_key(excess, sessions, enough_neighbours);
      spread_ = spread_of(excess, usual, prior_weight);
    }
    std::vector<const Both*> bent;
    for (std::size_t i = 0; i < strands_.size(); ++i) {
      strands_[i].above = excess[i] - spread_.centre;
      if (strands_[i].above >= practice.least.bend.value && spread_.upper_tail(excess[i], 0) < 1e-3)
        bent.push_back(&strands_[i]);
    }
    out_.looked(Family::bend, strands_.size());
    // Many at once are no bends of single strands: the source moved, and the series in time shows it.
    constexpr std::size_t few = 2;
    if (strands_.size() >= enough_neighbours && bent.size() > std::max(few, strands_.size() / 6)) return;
    // So are strands in a row, which a step of the source leaves where the cable was half done.
    if (bent.size() > few && bent.back()->row - bent.front()->row == bent.size() - 1) return;
    for (const Both* each : bent) tell_bend(*each);
  }

 private:
  /// Too few neighbours: physics alone tells, with the spread of makes and lengths.
  GroupSpread alone(double usual, double weight) const {
    const DiagnosisPractice& practice = table_.practice();
    double length_km = 0;
    for (const Both& each : strands_)
      length_km = std::max(length_km, table_.scheduled(each.row).length.value_or(Metres{0}).value / 1000);
    constexpr double between_makes_db_per_km = 0.05;
    const double level =
        std::hypot(practice.spread.wavelength_level.value, between_makes_db_per_km * length_km);
    return {0, std::hypot(usual, level), weight};
  }

  Finding described(const char* kind, const std::vector<std::size_t>& rows) const {
    Finding finding;
    finding.kind = kind;
    finding.about = table_.name();
    finding.tests = measured_tests(table_, rows);
    Picture picture;
    picture.kind = Picture::Kind::pairs;
    picture.x_name = fmt::format("{} nm, dB", table_.columns()[pair_.shorter].wavelength.value);
    picture.y_name = fmt::format("{} nm, dB", table_.columns()[pair_.longer].wavelength.value);
    for (const Both& each : strands_)
      if (picture.points.size() < Picture::most_points)
        picture.points.push_back(
            {each.shorter, each.longer, std::find(rows.begin(), rows.end(), each.row) != rows.end()});
    finding.picture = std::move(picture);
    return finding;
  }

  bool whole_link_exchanged() {
    constexpr std::size_t least_strands = 3;
    if (strands_.size() < least_strands) return false;
    std::vector<double> straight;
    std::vector<double> exchanged;
    std::vector<double> expected;
    for (const Both& each : strands_) {
      straight.push_back(each.excess());
      exchanged.push_back(each.longer - each.shorter + each.expected);
      expected.push_back(-each.expected);
    }
    const double between = median_in_place(expected);
    const double as_written = std::abs(median_in_place(straight));
    const double the_other_way = std::abs(median_in_place(exchanged));
    constexpr double clearly = 3;
    if (between < table_.practice().least.exchange.value || as_written < between) return false;
    if (clearly * the_other_way > as_written) return false;
    if (!shorter_is_low(between)) return false;
    std::vector<std::size_t> rows;
    for (const Both& each : strands_) rows.push_back(each.row);
    Finding finding = described("wavelengths-exchanged", rows);
    finding.weight = Weight::stop;
    const auto& columns = table_.columns();
    finding.summary = fmt::format(
        "In {} all {} strands lose more at {} nm than at {} nm, by what the fibre loses the other way round: "
        "the two "
        "columns are exchanged.",
        table_.name(), rows.size(), columns[pair_.longer].wavelength.value,
        columns[pair_.shorter].wavelength.value);
    finding.evidence = {{"expected_difference_db", between},
                        {"off_as_written_db", as_written},
                        {"off_the_other_way_db", the_other_way}};
    finding.advice =
        "Measure one strand again at both wavelengths. If it confirms the exchange, correct the records; "
        "nothing is "
        "turned by itself.";
    for (const std::size_t row : rows) explained_[row] = true;
    out_.facts.push_back(std::move(finding));
    return true;
  }

  /// An exchange lowers what stands at the shorter wavelength; a wrong reference at the longer one leaves it.
  bool shorter_is_low(double between) const {
    const DiagnosisPractice& practice = table_.practice();
    constexpr double mostly = 0.75;
    std::vector<double> off;
    for (const Both& each : strands_) {
      const ScheduledStrand& row = table_.scheduled(each.row);
      const auto fibre = table_.typical_fibre(each.row, table_.columns()[pair_.shorter].wavelength);
      if (!fibre || !row.connections) continue;
      off.push_back(each.shorter - *fibre - *row.connections * practice.connection.typical.value -
                    row.splices.value_or(0) * practice.splice.typical.value);
    }
    return off.empty() || median_in_place(off) < -mostly * between;
  }

  struct Middle {
    double shorter = 0;
    double longer = 0;
  };
  Middle neighbours() const {
    std::vector<double> shorter;
    std::vector<double> longer;
    for (const Both& each : strands_) {
      shorter.push_back(each.shorter);
      longer.push_back(each.longer);
    }
    return {median_in_place(shorter), median_in_place(longer)};
  }

  /// Both values of one strand are the neighbours', the other way round.
  bool looks_turned(const Both& strand) const {
    constexpr std::size_t enough_neighbours = 5;
    const double least = table_.practice().least.exchange.value;
    if (strands_.size() < enough_neighbours || -strand.expected < least) return false;
    const Middle middle = neighbours();
    const UsualSpread& spread = table_.practice().spread;
    const double allowed = 3 * std::hypot(spread.strand.value, spread.repeat.value);
    const double between = middle.shorter - middle.longer;
    if (between < least) return false;
    if (std::abs(strand.shorter - middle.longer) > allowed ||
        std::abs(strand.longer - middle.shorter) > allowed)
      return false;
    // The difference must be turned round, not only made small or large.
    const double near = 3 * std::hypot(spread.wavelength.value, spread.repeat.value);
    return std::abs(strand.longer - strand.shorter - between) <= near;
  }

  void tell_exchanged(const Both& strand) {
    const Middle middle = neighbours();
    Finding finding = described("wavelengths-exchanged", {strand.row});
    finding.about += "/" + table_.scheduled(strand.row).strand;
    finding.summary = fmt::format(
        "{}: its losses at {} and {} nm are the neighbours' the other way round.",
        strands_named(table_.all(), {table_.first() + static_cast<std::uint32_t>(strand.row)}),
        table_.columns()[pair_.shorter].wavelength.value, table_.columns()[pair_.longer].wavelength.value);
    finding.evidence = {{"shorter_db", strand.shorter},
                        {"longer_db", strand.longer},
                        {"neighbours_shorter_db", middle.shorter},
                        {"neighbours_longer_db", middle.longer}};
    finding.advice = "Measure this strand again at both wavelengths.";
    explained_[strand.row] = true;
    out_.facts.push_back(std::move(finding));
  }

  void tell_bend(const Both& strand) {
    const double above = strand.above;
    const double probability = spread_.upper_tail(above + spread_.centre, 0);
    const auto row = static_cast<std::uint32_t>(strand.row);
    Finding finding = described("bend", {strand.row});
    finding.about += "/" + table_.scheduled(strand.row).strand;
    finding.summary = fmt::format(
        "{} loses {:.2f} dB more at {} nm than its fibre and neighbours explain, and not at {} nm: a bend or "
        "stress.",
        strands_named(table_.all(), {table_.first() + row}), above,
        table_.columns()[pair_.longer].wavelength.value, table_.columns()[pair_.shorter].wavelength.value);
    finding.evidence = {{"excess_db", above},
                        {"shorter_db", strand.shorter},
                        {"longer_db", strand.longer},
                        {"neighbours", static_cast<double>(strands_.size() - 1)},
                        {"spread_db", spread_.scale}};
    finding.advice =
        "Dress the fibre at panels and trays; look for tight bends and for splice protectors too long for "
        "the tray. "
        "Close the closure, then measure both wavelengths again.";
    finding.caution = "Bare fibre breaks into shards: wear glasses, collect every piece.";
    explained_[strand.row] = explained_[strand.row] || probability < 1e-4;
    out_.suspect(Family::bend, probability, std::move(finding));
  }

  const LinkTable& table_;
  ColumnPair pair_;
  Explained& explained_;
  Suspects& out_;
  std::vector<Both> strands_;
  GroupSpread spread_;
};

}  // namespace

void detect_wavelengths(const LinkTable& table, Explained& explained, Suspects& out) {
  const std::vector<ColumnPair> pairs = pairs_of(table);
  for (const ColumnPair& pair : pairs) WavelengthLook(table, pair, explained, out).look_for_exchange();
  for (const ColumnPair& pair : pairs) WavelengthLook(table, pair, explained, out).look_for_bends();
}

}  // namespace strandbook
