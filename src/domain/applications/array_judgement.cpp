// A traced array against the maps: which one it has, what deviates, and the outcome.

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "domain/applications/array_map.hpp"

namespace strandbook {
namespace {

std::vector<Deviation> deviations_from(const LaneMap& map, const LaneMap& found) {
  std::vector<Deviation> all;
  for (const auto& [near, far] : found) {
    const auto place = map.find(near);
    if (place != map.end() && place->second != far) all.push_back({near, far, place->second});
  }
  return all;
}

/// What the record says against itself, each as a sentence.
std::vector<std::string> contradictions(const TracedLanes& lanes, const LaneMap& in_use, int positions) {
  std::vector<std::string> all;
  std::map<int, std::optional<int>> far_of;
  std::map<int, int> near_of;
  for (const TracedLane& lane : lanes) {
    const auto [first, fresh] = far_of.emplace(lane.near, lane.far);
    if (!fresh && first->second != lane.far)
      all.push_back(fmt::format("Near {} was traced twice with different far positions.", lane.near));
    if (lane.near < 1 || lane.near > positions || lane.far.value_or(1) < 1 ||
        lane.far.value_or(1) > positions)
      all.push_back(fmt::format("Near {} → far {}: an array of {} positions has no such position.", lane.near,
                                lane.far ? std::to_string(*lane.far) : "dark", positions));
    else if (lane.far && !in_use.contains(lane.near))
      all.push_back(fmt::format("Near {} shows light, but only {} positions are said to be in use.",
                                lane.near, in_use.size()));
    if (!lane.far || !fresh) continue;
    const auto [other, alone] = near_of.emplace(*lane.far, lane.near);
    if (!alone)
      all.push_back(fmt::format("Near {} and near {} were both traced to far {}: one of them is wrong.",
                                other->second, lane.near, *lane.far));
  }
  return all;
}

void sort_lanes(const TracedLanes& lanes, const LaneMap& in_use, MapJudgement& judged) {
  for (const TracedLane& lane : lanes)
    if (lane.far && in_use.contains(lane.near)) judged.found[lane.near] = *lane.far;
  for (const auto& [near, far] : in_use) {
    if (judged.found.contains(near)) continue;
    const bool dark = std::any_of(lanes.begin(), lanes.end(),
                                  [near = near](const TracedLane& lane) { return lane.near == near; });
    (dark ? judged.dark : judged.missing).push_back(near);
  }
  judged.complete = judged.dark.empty() && judged.missing.empty();
}

/// The map with the fewest deviations; the wanted one where it has no more than any other.
void compare(const std::vector<const ArrayType*>& types, const std::optional<WantedMap>& wanted,
             MapJudgement& judged) {
  bool any = false;
  const auto take = [&](const std::string& name, const LaneMap& map) {
    std::vector<Deviation> all = deviations_from(map, judged.found);
    if (any && all.size() >= judged.deviations.size()) return;
    any = true;
    judged.compared = name;
    judged.deviations = std::move(all);
  };
  if (wanted) take(wanted->name, wanted->map);
  for (const ArrayType* type : types) take("type " + type->name, type->map);
}

/// The type, or else the wanted chain, that has every position traced; the map of a channel is that of a
/// type.
std::string recognised_in(const std::vector<const ArrayType*>& types, const std::optional<WantedMap>& wanted,
                          const LaneMap& found) {
  if (found.empty()) return {};
  for (const ArrayType* type : types)
    if (deviations_from(type->map, found).empty()) return "type " + type->name;
  return wanted && deviations_from(wanted->map, found).empty() ? wanted->name : std::string();
}

void explain_deviations(const std::optional<WantedMap>& wanted, MapJudgement& judged) {
  if (judged.deviations.empty()) return;
  const std::size_t all = judged.found.size();
  if (judged.deviations.size() * 2 > all) {
    judged.reasons.push_back(
        fmt::format("No standard type: {} of {} positions traced differ even from the nearest, {}.",
                    judged.deviations.size(), all, judged.compared));
    return;
  }
  std::string what;
  for (const std::string& each : describe(judged.deviations)) what += (what.empty() ? "" : "; ") + each;
  judged.reasons.push_back(fmt::format("{}, compared with {}.", what, judged.compared));
  const bool other = wanted && judged.compared != wanted->name;
  if (other)
    judged.reasons.push_back(
        fmt::format("It comes nearest to {}, wanted was {}.", judged.compared, wanted->name));
}

void explain_gaps(MapJudgement& judged) {
  if (judged.found.empty() && judged.dark.empty()) return;
  if (!judged.missing.empty())
    judged.reasons.push_back(fmt::format("Not traced: near {}.", listed(judged.missing)));
  if (!judged.dark.empty())
    judged.reasons.push_back(fmt::format("No light from near {}.", listed(judged.dark)));
}

bool deviates(const MapJudgement& judged, const WantedMap& wanted) {
  return !deviations_from(wanted.map, judged.found).empty();
}

void decide_outcome(const std::optional<WantedMap>& wanted, MapJudgement& judged) {
  const std::string extent = judged.complete ? "" : " as far as it was traced";
  if (!wanted) {
    judged.outcome = Outcome::not_tested;
    if (!judged.recognised.empty())
      judged.reasons.push_back(fmt::format("It is {}{}.", judged.recognised, extent));
    judged.reasons.emplace_back(judged.found.empty() ? "No position was traced."
                                                     : "No type was stated to compare it with.");
    return;
  }
  if (deviates(judged, *wanted)) {
    judged.outcome = Outcome::fail;
    if (!judged.recognised.empty())
      judged.reasons.push_back(
          fmt::format("It is {}{}, wanted was {}.", judged.recognised, extent, wanted->name));
    return;
  }
  judged.outcome = judged.complete ? Outcome::pass : Outcome::not_tested;
  judged.reasons.push_back(judged.complete ? fmt::format("Its map is that of {}, as wanted.", wanted->name)
                           : judged.found.empty() ? "No position was traced."
                                                  : fmt::format("What was traced fits {}.", wanted->name));
}

std::vector<const ArrayType*> types_with(const ArrayMaps& maps, int fibres) {
  std::vector<const ArrayType*> types;
  for (const ArrayType& type : maps.types)
    if (type.part == ArrayPart::array && type.fibres == fibres) types.push_back(&type);
  return types;
}

/// Positions that lie on one another's places, from `start` on, as a chain of exchanges.
std::vector<int> cycle_from(const Deviation& start, const std::map<int, const Deviation*>& by_wanted) {
  std::vector<int> cycle = {start.near};
  const Deviation* at = &start;
  for (auto next = by_wanted.find(at->far); next != by_wanted.end(); next = by_wanted.find(at->far)) {
    at = next->second;
    if (at == &start) return cycle;
    if (std::find(cycle.begin(), cycle.end(), at->near) != cycle.end()) break;
    cycle.push_back(at->near);
  }
  return {};
}

}  // namespace

std::vector<std::string> describe(const std::vector<Deviation>& deviations) {
  std::map<int, const Deviation*> by_wanted;
  for (const Deviation& each : deviations) by_wanted[each.wanted] = &each;
  std::vector<std::string> texts;
  std::set<int> told;
  for (const Deviation& each : deviations) {
    if (told.contains(each.near)) continue;
    std::vector<int> cycle = cycle_from(each, by_wanted);
    told.insert(cycle.begin(), cycle.end());
    std::sort(cycle.begin(), cycle.end());
    if (cycle.size() == 2)
      texts.push_back(fmt::format("near {} exchanged", listed(cycle)));
    else if (cycle.size() > 2)
      texts.push_back(fmt::format("near {} on one another's places", listed(cycle)));
    else
      texts.push_back(fmt::format("near {} ends at {} instead of {}", each.near, each.far, each.wanted));
  }
  return texts;
}

Result<MapJudgement> judge_map(const TracedLanes& lanes, int fibres, const std::optional<WantedMap>& wanted,
                               const ArrayMaps& maps) {
  const std::vector<const ArrayType*> types = types_with(maps, fibres);
  if (types.empty())
    return Problem{{},
                   fmt::format("an array of {} fibres", fibres),
                   "8, 12, 16 or 24 fibres",
                   "State the number of fibres in use."};
  const LaneMap& in_use = types.front()->map;
  MapJudgement judged;
  judged.fibres = fibres;
  judged.positions = types.front()->positions;
  judged.reasons = contradictions(lanes, in_use, judged.positions);
  sort_lanes(lanes, in_use, judged);
  if (!judged.reasons.empty()) {
    judged.outcome = Outcome::invalid;
    return judged;
  }
  compare(types, wanted, judged);
  judged.recognised = recognised_in(types, wanted, judged.found);
  decide_outcome(wanted, judged);
  explain_deviations(wanted, judged);
  explain_gaps(judged);
  return judged;
}

}  // namespace strandbook
