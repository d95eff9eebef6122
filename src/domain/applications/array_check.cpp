#include "domain/applications/array_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "domain/verdict/assessment.hpp"

namespace strandbook {
namespace {

template <class Rows>
auto find_named(const Rows& rows, const std::string& name) -> decltype(&rows.front()) {
  const std::string key = name_key(name);
  const auto at =
      std::find_if(rows.begin(), rows.end(), [&key](const auto& row) { return name_key(row.name) == key; });
  return at == rows.end() ? nullptr : &*at;
}

/// As wanted first, then what was found or measured besides.
std::vector<std::string> names_in(const ArrayRecords& records) {
  std::vector<std::string> names;
  std::set<std::string> seen;
  const auto take = [&](const auto& rows) {
    for (const auto& row : rows)
      if (seen.insert(name_key(row.name)).second) names.push_back(row.name);
  };
  take(records.wanted);
  take(records.traced);
  take(records.measured);
  return names;
}

std::vector<std::string> series_in(const std::vector<LaneValue>& lanes) {
  std::vector<std::string> names;
  for (const LaneValue& lane : lanes)
    if (std::find(names.begin(), names.end(), lane.series) == names.end()) names.push_back(lane.series);
  return names;
}

/// Positions in use that this series has no value for; none where the record names no positions.
std::vector<int> missing_in(const std::vector<LaneValue>& lanes, const LaneMap& in_use) {
  std::vector<int> missing;
  if (std::all_of(lanes.begin(), lanes.end(), [](const LaneValue& lane) { return lane.position == 0; }))
    return missing;
  for (const auto& [near, far] : in_use)
    if (std::none_of(lanes.begin(), lanes.end(),
                     [near = near](const LaneValue& lane) { return lane.position == near; }))
      missing.push_back(near);
  return missing;
}

std::vector<int> dark_in(const std::vector<LaneValue>& lanes) {
  std::vector<int> dark;
  for (const LaneValue& lane : lanes)
    if (lane.dark) dark.push_back(lane.position);
  return dark;
}

std::string in_series(const std::string& series) { return series.empty() ? "" : " at " + series; }

void judge_series(const std::string& series, const std::vector<LaneValue>& lanes, const LaneMap& in_use,
                  Decibels gain_allowance, LossJudgement& judged) {
  Outcome outcome = Outcome::pass;
  const auto tell = [&](Outcome each, std::string words) {
    outcome = worse(outcome, each);
    judged.reasons.push_back(std::move(words));
  };
  if (const auto losses = summary_of(lanes)) {
    judged.series.push_back({series, *losses});
    if (!losses->over_limit.empty() && losses->over_limit.front() > 0)
      tell(Outcome::fail,
           fmt::format("Loss over its limit at near {}{}.", listed(losses->over_limit), in_series(series)));
    else if (!losses->over_limit.empty())
      tell(Outcome::fail, fmt::format("Loss over its limit{}.", in_series(series)));
  }
  if (std::any_of(lanes.begin(), lanes.end(), [gain_allowance](const LaneValue& lane) {
        return lane.loss && !at_most(-gain_allowance, *lane.loss);
      }))
    tell(Outcome::invalid, fmt::format("A loss below zero{}: reference and reading do not belong together.",
                                       in_series(series)));
  if (const std::vector<int> dark = dark_in(lanes); !dark.empty())
    tell(Outcome::not_tested, fmt::format("No light at near {}{}.", listed(dark), in_series(series)));
  if (const std::vector<int> missing = missing_in(lanes, in_use); !missing.empty())
    tell(Outcome::not_tested, fmt::format("No loss of near {}{}.", listed(missing), in_series(series)));
  if (std::any_of(lanes.begin(), lanes.end(), [](const LaneValue& lane) { return lane.loss && !lane.limit; }))
    tell(Outcome::not_tested, fmt::format("No limit is stated{}.", in_series(series)));
  judged.outcome = worse(judged.outcome, outcome);
}

std::optional<SkewJudgement> judge_skew(const MeasuredArray* measured, const ArraySettings& settings) {
  const bool lengths = measured != nullptr && std::any_of(measured->lanes.begin(), measured->lanes.end(),
                                                          [](const LaneValue& l) { return l.length; });
  if (!lengths && !settings.skew_limit_ns) return std::nullopt;
  SkewJudgement judged;
  judged.group_index = settings.group_index;
  if (!settings.group_index)
    judged.reasons.emplace_back("The skew needs the group index: state fibre and wavelength.");
  else if (measured != nullptr)
    judged.skew = skew_of(measured->lanes, settings.group_index->value);
  if (settings.group_index && !judged.skew)
    judged.reasons.emplace_back("The skew needs the lengths of two lanes or more.");
  if (!judged.skew) return judged;
  if (!settings.skew_limit_ns) {
    judged.reasons.emplace_back("No limit of skew is stated.");
    return judged;
  }
  judged.outcome = judged.skew->skew_ns <= *settings.skew_limit_ns ? Outcome::pass : Outcome::fail;
  if (judged.outcome == Outcome::fail)
    judged.reasons.push_back(
        fmt::format("Skew {:.3f} ns is more than {:g} ns.", judged.skew->skew_ns, *settings.skew_limit_ns));
  return judged;
}

LaneMap in_use_of(const ArrayMaps& maps, int fibres) {
  for (const ArrayType& type : maps.types)
    if (type.fibres == fibres) return type.map;
  return {};
}

class ArrayJudge {
 public:
  ArrayJudge(const ArrayRecords& records, const ArraySettings& settings, const ArrayMaps& maps)
      : records_(records), settings_(settings), maps_(maps) {}

  Result<JudgedArray> judge(const std::string& name) const {
    JudgedArray judged;
    judged.name = name;
    const TracedArray* traced = find_named(records_.traced, name);
    const WantedArray* wanted = find_named(records_.wanted, name);
    const TracedLanes lanes = traced != nullptr ? traced->lanes : TracedLanes{};
    const int fibres = fibres_for(traced, wanted, lanes);
    const std::string type = wanted != nullptr && !wanted->type.empty() ? wanted->type : settings_.type;
    if (!type.empty() && (wanted != nullptr || !records_.plan_given)) {
      Result<WantedMap> map = wanted_map(maps_, type, fibres);
      if (!map) return at_array(map.problem(), name);
      judged.wanted = std::move(*map);
    }
    Result<MapJudgement> map = judge_map(lanes, fibres, judged.wanted, maps_);
    if (!map) return at_array(map.problem(), name);
    judged.map = std::move(*map);
    if (records_.plan_given && wanted == nullptr)
      judged.map.reasons.emplace_back("The list of wanted arrays does not name it.");
    judge_measured(judged);
    return judged;
  }

 private:
  static Problem at_array(Problem problem, const std::string& name) {
    problem.at.file = "array " + name;
    return problem;
  }

  int fibres_for(const TracedArray* traced, const WantedArray* wanted, const TracedLanes& lanes) const {
    if (wanted != nullptr && wanted->fibres) return *wanted->fibres;
    if (traced != nullptr && traced->fibres) return *traced->fibres;
    return settings_.fibres ? *settings_.fibres : fibres_of(lanes, maps_);
  }

  void judge_measured(JudgedArray& judged) const {
    std::optional<MeasuredArray> measured;
    if (const MeasuredArray* found = find_named(records_.measured, judged.name))
      measured = with_limits(*found, settings_.loss_limit);
    const MeasuredArray* brought = measured ? &*measured : nullptr;
    judged.outcome = judged.map.outcome;
    if (records_.losses_given) {
      judged.loss = judge_losses(brought, in_use_of(maps_, judged.map.fibres), settings_.gain_allowance);
      judged.outcome = worse(judged.outcome, judged.loss->outcome);
    }
    judged.skew = judge_skew(brought, settings_);
    // A skew without a limit is told but decides nothing.
    if (judged.skew && settings_.skew_limit_ns) judged.outcome = worse(judged.outcome, judged.skew->outcome);
  }

  const ArrayRecords& records_;
  const ArraySettings& settings_;
  const ArrayMaps& maps_;
};

/// Counts lanes whose limit is known, by the worst of their series.
void add_lanes(const MeasuredArray& measured, LaneStatistics& all, std::vector<int>& sizes) {
  std::set<int> lanes;
  std::set<int> over;
  for (const LaneValue& lane : measured.lanes) {
    if (lane.position == 0 || !lane.loss || !lane.limit) continue;
    lanes.insert(lane.position);
    if (!at_most(*lane.loss, *lane.limit)) over.insert(lane.position);
  }
  if (lanes.size() < 2) return;
  all.lanes += lanes.size();
  all.lanes_within += lanes.size() - over.size();
  ++all.arrays;
  if (over.empty()) ++all.arrays_within;
  sizes.push_back(static_cast<int>(lanes.size()));
}

LaneStatistics statistics_of(const ArrayRecords& records, std::optional<Decibels> limit) {
  LaneStatistics all;
  std::vector<int> sizes;
  for (const MeasuredArray& measured : records.measured) add_lanes(with_limits(measured, limit), all, sizes);
  if (all.lanes == 0) return all;
  const double quality = static_cast<double>(all.lanes_within) / static_cast<double>(all.lanes);
  for (const int size : sizes) all.expected_arrays += array_pass_probability(quality, size);
  return all;
}

}  // namespace

LossJudgement judge_losses(const MeasuredArray* measured, const LaneMap& in_use, Decibels gain_allowance) {
  LossJudgement judged;
  if (measured == nullptr) {
    judged.reasons.emplace_back("No loss was brought.");
    return judged;
  }
  judged.outcome = Outcome::pass;
  for (const std::string& series : series_in(measured->lanes)) {
    std::vector<LaneValue> lanes;
    std::copy_if(measured->lanes.begin(), measured->lanes.end(), std::back_inserter(lanes),
                 [&](const LaneValue& lane) { return lane.series == series && (lane.loss || lane.dark); });
    if (!lanes.empty()) judge_series(series, lanes, in_use, gain_allowance, judged);
  }
  if (judged.series.empty() && judged.reasons.empty()) {
    judged.outcome = Outcome::not_tested;
    judged.reasons.emplace_back("No loss was brought.");
  }
  return judged;
}

MeasuredArray with_limits(MeasuredArray measured, std::optional<Decibels> limit) {
  for (LaneValue& lane : measured.lanes)
    if (!lane.limit) lane.limit = limit;
  return measured;
}

std::string name_key(std::string_view name) {
  std::string key;
  for (const char c : name) {
    if (c == ' ' || c == '\t') continue;
    key += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  }
  return key;
}

Result<ArrayCheck> judge_arrays(const ArrayRecords& records, const ArraySettings& settings,
                                const ArrayMaps& maps) {
  const ArrayJudge judge(records, settings, maps);
  ArrayCheck check;
  for (const std::string& name : names_in(records)) {
    Result<JudgedArray> judged = judge.judge(name);
    if (!judged) return judged.problem();
    check.arrays.push_back(std::move(*judged));
  }
  check.statistics = statistics_of(records, settings.loss_limit);
  return check;
}

}  // namespace strandbook
