#include "domain/applications/array_lanes.hpp"

#include <algorithm>
#include <cmath>

namespace strandbook {
namespace {

constexpr double speed_of_light = 299'792'458;  // m/s, exact

std::vector<LaneValue> with_loss(std::span<const LaneValue> lanes) {
  std::vector<LaneValue> kept;
  std::copy_if(lanes.begin(), lanes.end(), std::back_inserter(kept),
               [](const LaneValue& lane) { return lane.loss.has_value(); });
  return kept;
}

/// Least-squares slope of loss over position, dB per position.
std::optional<Decibels> slope_of(const std::vector<LaneValue>& lanes, Decibels mean) {
  if (lanes.size() < 3) return std::nullopt;
  double middle = 0;
  for (const LaneValue& lane : lanes) middle += lane.position;
  middle /= static_cast<double>(lanes.size());
  double across = 0;
  double along = 0;
  for (const LaneValue& lane : lanes) {
    across += (lane.position - middle) * (*lane.loss - mean).value;
    along += (lane.position - middle) * (lane.position - middle);
  }
  if (along == 0) return std::nullopt;
  return Decibels{across / along};
}

}  // namespace

std::optional<LaneLosses> summary_of(std::span<const LaneValue> lanes) {
  const std::vector<LaneValue> kept = with_loss(lanes);
  if (kept.empty()) return std::nullopt;
  const auto [best, worst] = std::minmax_element(
      kept.begin(), kept.end(), [](const LaneValue& a, const LaneValue& b) { return *a.loss < *b.loss; });
  LaneLosses all;
  all.count = kept.size();
  all.worst_position = worst->position;
  all.worst = *worst->loss;
  all.limit = worst->limit;
  all.best_position = best->position;
  all.best = *best->loss;
  all.spread = all.worst - all.best;
  for (const LaneValue& lane : kept) all.mean += *lane.loss / static_cast<double>(kept.size());
  all.slope = slope_of(kept, all.mean);
  for (const LaneValue& lane : kept)
    if (lane.limit && !at_most(*lane.loss, *lane.limit)) all.over_limit.push_back(lane.position);
  return all;
}

const GroupIndexRow* group_index_of(const GroupIndexTable& table, FibreCategory fibre,
                                    Nanometres wavelength) {
  for (const GroupIndexRow& row : table)
    if (row.wavelength == wavelength &&
        std::find(row.categories.begin(), row.categories.end(), fibre) != row.categories.end())
      return &row;
  return nullptr;
}

double delay_ns(Metres length, double group_index) {
  return group_index * length.value / speed_of_light * 1e9;
}

std::optional<LaneSkew> skew_of(std::span<const LaneValue> lanes, double group_index) {
  const LaneValue* shortest = nullptr;
  const LaneValue* longest = nullptr;
  int count = 0;
  for (const LaneValue& lane : lanes) {
    if (!lane.length) continue;
    ++count;
    if (shortest == nullptr || *lane.length < *shortest->length) shortest = &lane;
    if (longest == nullptr || *lane.length > *longest->length) longest = &lane;
  }
  if (count < 2) return std::nullopt;
  const Metres difference = *longest->length - *shortest->length;
  return LaneSkew{shortest->position, longest->position, difference, delay_ns(difference, group_index)};
}

double array_pass_probability(double lane_quality, int lanes) { return std::pow(lane_quality, lanes); }

double lane_quality_needed(double array_quality, int lanes) { return std::pow(array_quality, 1.0 / lanes); }

}  // namespace strandbook
