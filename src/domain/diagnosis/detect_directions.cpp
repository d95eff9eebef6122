// The same strand from both ends: connections, splices and fibre lose the same either way.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "domain/diagnosis/sentence.hpp"
#include "domain/diagnosis/spread_estimate.hpp"
#include "domain/diagnosis/table_detectors.hpp"
#include "domain/statistics/robust.hpp"

namespace strandbook {
namespace {

struct BothWays {
  std::size_t row = 0;
  double there = 0;
  double back = 0;
  std::uint64_t sessions = 0;  ///< the two references, as one key
  bool one_session = true;
  double centre = 0;  ///< of the differences under the same references
  double difference() const { return there - back; }
};

class DirectionLook {
 public:
  DirectionLook(const LinkTable& table, std::size_t there, std::size_t back, Explained& explained,
                Suspects& out)
      : table_(table), wavelength_(table.columns()[there].wavelength), explained_(explained), out_(out) {
    for (std::size_t row = 0; row < table.strands(); ++row) {
      if (explained[row]) continue;
      const std::uint32_t a = table.sound(row, there);
      const std::uint32_t b = table.sound(row, back);
      if (a == nothing || b == nothing) continue;
      const Assessment& all = table.all();
      const SessionKey one = session_of(all, all.tests[a]);
      const SessionKey other = session_of(all, all.tests[b]);
      strands_.push_back({row, table.loss(a), table.loss(b), one * 31 + other, one == other, 0});
    }
  }

  void run() {
    if (strands_.empty()) return;
    constexpr double prior_weight = 12;
    constexpr std::size_t enough_neighbours = 4;
    const double usual = std::sqrt(2.0) * table_.practice().spread.repeat.value;
    std::vector<double> differences;
    std::vector<std::uint64_t> sessions;
    for (const BothWays& each : strands_) {
      differences.push_back(each.difference());
      sessions.push_back(each.sessions);
    }
    if (strands_.size() < enough_neighbours) {
      spread_ = {0, usual, prior_weight};
    } else {
      const std::vector<double> before = differences;
      level_ = median_in_place(differences);
      differences = before;
      centre_by_key(differences, sessions, enough_neighbours);
      for (std::size_t i = 0; i < strands_.size(); ++i) strands_[i].centre = before[i] - differences[i];
      spread_ = spread_of(differences, usual, prior_weight);
    }
    out_.looked(Family::direction, strands_.size() + 1);
    if (strands_.size() >= enough_neighbours) whole_link();
    std::vector<std::size_t> odd;
    for (std::size_t i = 0; i < strands_.size(); ++i)
      if (is_odd(strands_[i])) odd.push_back(i);
    take_crossed(odd);
    for (const std::size_t i : odd) one_strand(strands_[i]);
  }

 private:
  /// What sets a strand apart from its neighbours.
  double beyond(const BothWays& strand) const { return strand.difference() - strand.centre - spread_.centre; }

  bool is_odd(const BothWays& strand) const {
    return std::abs(beyond(strand)) >= table_.practice().least.direction.value &&
           spread_.both_tails(beyond(strand) + spread_.centre) < 1e-3;
  }

  double tails(const BothWays& strand) const { return spread_.both_tails(beyond(strand) + spread_.centre); }

  Finding described(const char* kind, const std::vector<std::size_t>& rows) const {
    Finding finding;
    finding.kind = kind;
    finding.about = table_.name();
    if (rows.size() == 1) finding.about += "/" + table_.scheduled(rows.front()).strand;
    finding.tests = measured_tests(table_, rows);
    Picture picture;
    picture.kind = Picture::Kind::pairs;
    picture.x_name = fmt::format("A to B at {} nm, dB", wavelength_.value);
    picture.y_name = fmt::format("B to A at {} nm, dB", wavelength_.value);
    for (const BothWays& each : strands_)
      if (picture.points.size() < Picture::most_points)
        picture.points.push_back(
            {each.there, each.back, std::find(rows.begin(), rows.end(), each.row) != rows.end()});
    finding.picture = std::move(picture);
    return finding;
  }

  /// All strands of the link under one reference differ alike: the link itself is unlike from its two ends.
  void whole_link() {
    if (std::any_of(strands_.begin(), strands_.end(), [](const BothWays& each) { return !each.one_session; }))
      return;
    const double centre = level_;
    if (std::abs(centre) < table_.practice().least.direction.value) return;
    const auto n = static_cast<double>(strands_.size());
    const double shared = table_.practice().spread.repeat.value;
    GroupSpread of_mean{0, std::hypot(shared, spread_.scale * std::sqrt(1.57 / n)), spread_.degrees};
    std::vector<std::size_t> rows;
    for (const BothWays& each : strands_) rows.push_back(each.row);
    Finding finding = described("direction-differs", rows);
    finding.summary = fmt::format(
        "In {} every strand loses {:.2f} dB more {} at {} nm: the two ends of this link are not of one kind.",
        table_.name(), std::abs(centre), centre > 0 ? "from A to B" : "from B to A", wavelength_.value);
    finding.evidence = {{"difference_db", centre}, {"strands", n}, {"spread_db", spread_.scale}};
    finding.advice =
        "Read the print on jackets and cords at both ends: core sizes or fibre kinds are mixed. The mean of "
        "both "
        "directions does not mend it.";
    out_.suspect(Family::direction, of_mean.both_tails(centre), std::move(finding));
  }

  /// Two strands whose losses fit when they are exchanged at the far end.
  void take_crossed(std::vector<std::size_t>& odd) {
    for (std::size_t a = 0; a < odd.size(); ++a)
      for (std::size_t b = a + 1; b < odd.size(); ++b) {
        const BothWays& one = strands_[odd[a]];
        const BothWays& other = strands_[odd[b]];
        const double allowed = 3 * spread_.scale;
        if (std::abs(one.there - other.back - one.centre) > allowed ||
            std::abs(other.there - one.back - other.centre) > allowed)
          continue;
        crossed(one, other);
        odd.erase(odd.begin() + static_cast<std::ptrdiff_t>(b));
        odd.erase(odd.begin() + static_cast<std::ptrdiff_t>(a));
        return take_crossed(odd);
      }
  }

  void crossed(const BothWays& one, const BothWays& other) {
    Finding finding = described("crossed", {one.row, other.row});
    const auto first = table_.first();
    finding.weight = Weight::stop;
    finding.about += "/" + table_.scheduled(one.row).strand + "+" + table_.scheduled(other.row).strand;
    finding.summary =
        fmt::format("{}: the loss of each from A is the loss of the other from B. They are probably crossed.",
                    strands_named(table_.all(), {first + static_cast<std::uint32_t>(one.row),
                                                 first + static_cast<std::uint32_t>(other.row)}));
    finding.evidence = {{"there_db", one.there},
                        {"back_db", one.back},
                        {"other_there_db", other.there},
                        {"other_back_db", other.back}};
    finding.advice =
        "Send light into the one and see where it comes out; correct splice or panel, then measure both.";
    finding.caution = live_port_caution;
    explained_[one.row] = explained_[other.row] = true;
    out_.suspect(Family::direction, tails(one) * tails(other), std::move(finding));
  }

  void one_strand(const BothWays& strand) {
    Finding finding = described("direction-differs", {strand.row});
    const double more = beyond(strand);
    finding.summary =
        fmt::format("{} loses {:.2f} dB more {} at {} nm than the other way.",
                    strands_named(table_.all(), {table_.first() + static_cast<std::uint32_t>(strand.row)}),
                    std::abs(more), more > 0 ? "from A to B" : "from B to A", wavelength_.value);
    finding.evidence = {{"difference_db", more},
                        {"there_db", strand.there},
                        {"back_db", strand.back},
                        {"spread_db", spread_.scale}};
    finding.advice =
        "Clean and inspect both ends and the cords, read the print on jackets for mixed core sizes, then "
        "measure both "
        "directions again.";
    finding.caution = live_port_caution;
    explained_[strand.row] = true;
    out_.suspect(Family::direction, tails(strand), std::move(finding));
  }

  const LinkTable& table_;
  Nanometres wavelength_;
  Explained& explained_;
  Suspects& out_;
  std::vector<BothWays> strands_;
  GroupSpread spread_;
  double level_ = 0;  ///< median difference of the whole link
};

}  // namespace

void detect_directions(const LinkTable& table, Explained& explained, Suspects& out) {
  const auto& columns = table.columns();
  for (std::size_t a = 0; a < columns.size(); ++a)
    for (std::size_t b = 0; b < columns.size(); ++b)
      if (columns[a].wavelength == columns[b].wavelength && columns[a].direction == Direction::a_to_b &&
          columns[b].direction == Direction::b_to_a)
        DirectionLook(table, a, b, explained, out).run();
}

}  // namespace strandbook
