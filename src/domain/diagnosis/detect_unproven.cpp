// References that nothing in the job confirms. Their error cannot be told from the loss of the connections.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <unordered_set>

#include "domain/diagnosis/sentence.hpp"
#include "domain/diagnosis/session.hpp"
#include "domain/statistics/robust.hpp"

namespace strandbook {
namespace {

/// Two openings taken apart from each other: a cord that was bad once is not bad in both alike.
bool taken_apart(const Reference& a, const Reference& b) {
  constexpr std::int64_t apart_s = 1800;
  if (!a.time || !b.time) return a.id != b.id;
  const auto between = seconds_between(*a.time, *b.time);
  return !between || std::abs(*between) >= apart_s;
}

struct Unproven {
  std::vector<std::uint32_t> references;
  std::vector<std::uint32_t> tests;  ///< one under each
  std::uint32_t check = nothing;     ///< a test on the shortest link
};

double length_of(const Assessment& all, std::uint32_t test) {
  return all.schedule[all.tests[test].strand].length.value_or(Metres{1e9}).value;
}

/// Connections lose less than any do: cords of the reference are missing in the reading, or the connections
/// are.
void tell_cords(const Assessment& all, const DiagnosisPractice& practice, const SessionEvidence& evidence,
                Suspects& out) {
  constexpr double least_strands = 4;
  constexpr double least_connection_db = 0.02;
  const auto each_connection = [&](const LevelCell& cell) {
    const double makes = cell.length_km * practice.spread.cable.value;
    return (cell.loss_db + makes) / cell.connections;
  };
  const auto counts = [](const LevelCell& cell) {
    return cell.comparable && cell.connections >= 2 && reference_of(cell.session);
  };
  // Where no value is low, neither is the median: hardly any session is looked at more closely.
  std::unordered_set<SessionKey> low;
  for (const LevelCell* cell : evidence.levels)
    if (counts(*cell) && each_connection(*cell) <= least_connection_db) low.insert(cell->session);
  std::map<SessionKey, std::vector<const LevelCell*>> by_session;
  for (const LevelCell* cell : evidence.levels)
    if (low.contains(cell->session) && counts(*cell)) by_session[cell->session].push_back(cell);
  for (const auto& [session, cells] : by_session) {
    std::vector<double> each;
    double strands = 0;
    for (const LevelCell* cell : cells) {
      each.push_back(each_connection(*cell));
      strands += cell->count;
    }
    const double loss = median_in_place(each);
    if (strands < least_strands || loss > least_connection_db) continue;
    Finding finding;
    finding.kind = "reference-cords";
    finding.weight = Weight::stop;
    finding.about = session_words(all, all.tests[cells.front()->sample]);
    finding.tests = evidence.tests_of(session);
    finding.summary = fmt::format(
        "Under the {} the readings leave {:.2f} dB for each connection after the fibre: less than "
        "connections lose. Cords "
        "in the reference took them out, or they are not there.",
        finding.about, std::round(100 * loss) / 100 + 0.0);  // never "-0.00"
    finding.evidence = {{"each_connection_db", loss},
                        {"typical_db", practice.connection.typical.value},
                        {"strands", strands}};
    finding.advice =
        "Say how many cords were in the reference. Measure one strand under a fresh one-cord reference: if "
        "it reads higher "
        "by about a connection, this reference held more cords than stated.";
    finding.caution = live_port_caution;
    out.facts.push_back(std::move(finding));
  }
}

}  // namespace

void detect_unproven(const Assessment& all, const DiagnosisPractice& practice,
                     const SessionEvidence& evidence, Suspects& out) {
  tell_cords(all, practice, evidence, out);
  std::map<std::uint32_t, const LevelCell*> used;
  for (const LevelCell* cell : evidence.levels)
    if (const auto row = reference_of(cell->session)) {
      const LevelCell*& kept = used[*row];
      // The one with the shortest link: least fibre to be unsure of.
      if (kept == nullptr || (cell->comparable && (!kept->comparable || cell->length_km < kept->length_km)))
        kept = cell;
    }
  Unproven unproven;
  for (const auto& each : used) {
    const auto row = each.first;
    const LevelCell* const cell = each.second;
    if ((*evidence.closed)[row]) continue;
    const bool confirmed = cell->comparable && std::any_of(used.begin(), used.end(), [&](const auto& other) {
                             return other.first != row && other.second->comparable &&
                                    other.second->wavelength_nm == cell->wavelength_nm &&
                                    taken_apart(all.references[row], all.references[other.first]);
                           });
    if (confirmed) continue;
    unproven.references.push_back(row);
    unproven.tests.push_back(cell->sample);
    if (unproven.check == nothing || length_of(all, cell->sample) < length_of(all, unproven.check))
      unproven.check = cell->sample;
  }
  if (unproven.tests.empty()) return;
  std::sort(unproven.tests.begin(), unproven.tests.end());
  Finding finding;
  finding.kind = "reference-unproven";
  finding.weight = Weight::note;
  finding.tests = std::move(unproven.tests);
  const std::string check = strands_named(all, {all.tests[unproven.check].strand});
  finding.summary = fmt::format(
      "Nothing confirms {}: no closing check, and no other reference of its wavelength. An error of it "
      "cannot be told from "
      "the loss of the connections.",
      unproven.references.size() == 1 ? "the " + reference_words(all.references[unproven.references.front()])
                                      : fmt::format("{} references", unproven.references.size()));
  const double connections = all.schedule[all.tests[unproven.check].strand].connections.value_or(2);
  const double half = 2 * connections * practice.connection.deviation.value;
  finding.evidence = {{"references", static_cast<double>(unproven.references.size())},
                      {"error_within_db", half},
                      {"check_link", check}};
  finding.advice = fmt::format(
      "Read the reference once more before the cords are packed (closing check). If that is too late, take a "
      "new reference "
      "and measure {} again: the difference is the error.",
      check);
  finding.caution = live_port_caution;
  out.facts.push_back(std::move(finding));
}

}  // namespace strandbook
