// A strand beside its neighbours: same fibre, same connections, same references.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "domain/diagnosis/sentence.hpp"
#include "domain/diagnosis/spread_estimate.hpp"
#include "domain/diagnosis/table_detectors.hpp"
#include "domain/statistics/robust.hpp"

namespace strandbook {
namespace {

constexpr std::size_t enough_strands = 6;

/// What a strand loses above its column's median, fibre taken off, mean over its columns: connections show at
/// every wavelength and in both directions, so that this is one question for each strand.
struct AboveNeighbours {
  std::size_t row = 0;
  double sum = 0;
  int count = 0;
  double mean() const { return sum / count; }
};

std::vector<AboveNeighbours> above_neighbours(const LinkTable& table, const Explained& explained) {
  std::vector<AboveNeighbours> rows(table.strands());
  for (std::size_t column = 0; column < table.columns().size(); ++column) {
    std::vector<double> values;
    std::vector<std::uint64_t> sessions;
    std::vector<std::size_t> of;
    for (std::size_t row = 0; row < table.strands(); ++row) {
      const std::uint32_t test = table.sound(row, column);
      if (test == nothing) continue;
      values.push_back(table.loss(test) -
                       table.typical_fibre(row, table.columns()[column].wavelength).value_or(0));
      sessions.push_back(session_of(table.all(), table.all().tests[test]));
      of.push_back(row);
    }
    if (values.size() < enough_strands) continue;
    centre_by_key(values, sessions, enough_strands);
    for (std::size_t i = 0; i < of.size(); ++i) {
      if (explained[of[i]]) continue;
      rows[of[i]].sum += values[i];
      ++rows[of[i]].count;
    }
  }
  for (std::size_t row = 0; row < rows.size(); ++row) rows[row].row = row;
  std::erase_if(rows, [](const AboveNeighbours& each) { return each.count == 0; });
  return rows;
}

}  // namespace

void detect_unlike(const LinkTable& table, const Explained& explained, Suspects& out) {
  if (table.strands() < enough_strands) return;
  const std::vector<AboveNeighbours> rows = above_neighbours(table, explained);
  if (rows.size() < enough_strands) return;
  std::vector<double> values;
  values.reserve(rows.size());
  for (const AboveNeighbours& each : rows) values.push_back(each.mean());
  const DiagnosisPractice& practice = table.practice();
  constexpr double prior_weight = 8;
  const GroupSpread spread = spread_of(values, practice.spread.strand.value, prior_weight);
  out.looked(Family::unlike, rows.size());
  for (const AboveNeighbours& each : rows) {
    const double above = each.mean() - spread.centre;
    if (above < practice.least.unlike.value) continue;
    const double probability = spread.upper_tail(each.mean(), practice.spread.skewness);
    if (probability > 1e-3) continue;
    Finding finding;
    finding.kind = "strand-unlike";
    finding.tests = measured_tests(table, {each.row});
    finding.about = table.name() + "/" + table.scheduled(each.row).strand;
    finding.summary = fmt::format(
        "{} loses {:.2f} dB more than its {} neighbours at every wavelength measured: a connection or "
        "splice.",
        strands_named(table.all(), {table.first() + static_cast<std::uint32_t>(each.row)}), above,
        rows.size() - 1);
    finding.evidence = {{"above_db", above},
                        {"neighbours", static_cast<double>(rows.size() - 1)},
                        {"spread_db", spread.scale}};
    finding.advice =
        "Clean and inspect both ends and the panel's plugs, mate again and measure. If it stays, trace it.";
    finding.caution = live_port_caution;
    Picture picture;
    picture.x_name = "position in the link";
    picture.y_name = "above the neighbours' median, dB";
    for (const AboveNeighbours& other : rows)
      if (picture.points.size() < Picture::most_points)
        picture.points.push_back({static_cast<double>(other.row + 1), other.mean(), other.row == each.row});
    finding.picture = std::move(picture);
    out.suspect(Family::unlike, probability, std::move(finding));
  }
}

}  // namespace strandbook
