#include <algorithm>
#include <cmath>

#include "domain/traces/event_search.hpp"

namespace strandbook {
namespace {

// Events only make differences greater: the lower quartile hardly knows of them.
constexpr double normal_quartile = 0.3186393639643752;  ///< lower quartile of |x|, x standard normal
// Fading of a broad laser is at most 2 % of the light over one pulse (usual instruments; common practice).
constexpr std::size_t dark_blocks = 5;  ///< of four pulses: so much darkness ends the fibre
constexpr double most_fading = 4e-4;

double quantile_of(std::vector<double> values, double share) {
  const auto at = values.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size()));
  std::nth_element(values.begin(), at, values.end());
  return *at;
}

double median_of(std::vector<double> values) { return quantile_of(std::move(values), 0.5); }

struct Block {
  double power;
  double square;  ///< of the second difference of three neighbours, linear
};

/// Means of blocks of about a pulse; second differences do not see the slope.
std::vector<Block> blocks_of(const LinearTrace& trace, std::size_t light_end,
                             const std::vector<Candidate>& peaks, std::size_t size) {
  std::vector<double> mean;
  const auto in_peak = [&](std::size_t from, std::size_t to) {
    return std::any_of(peaks.begin(), peaks.end(), [&](const Candidate& peak) {
      return peak.start - trace.pulse.width < static_cast<double>(to) && peak.until > from;
    });
  };
  for (std::size_t at = 0; at + size <= light_end; at += size) {
    double sum = 0;
    for (std::size_t i = at; i < at + size; ++i) sum += trace.power[i];
    mean.push_back(sum / static_cast<double>(size));
  }
  std::vector<Block> blocks;
  for (std::size_t i = 1; i + 1 < mean.size(); ++i) {
    const double difference = mean[i - 1] - 2 * mean[i] + mean[i + 1];
    if (mean[i] > 0 && !in_peak((i - 1) * size, (i + 2) * size))
      blocks.push_back({mean[i], difference * difference});
  }
  return blocks;
}

/// Robust variance of the second difference over blocks of similar power.
struct Group {
  double power;
  double variance;
  double count;
};

std::vector<Group> groups_of(std::vector<Block> blocks) {
  std::sort(blocks.begin(), blocks.end(), [](const Block& a, const Block& b) { return a.power > b.power; });
  std::vector<Group> groups;
  const std::size_t size = std::max<std::size_t>(12, blocks.size() / 12);
  for (std::size_t at = 0; at + size <= blocks.size(); at += size) {
    std::vector<double> relative;
    std::vector<double> power;
    for (std::size_t i = at; i < at + size; ++i) {
      relative.push_back(std::sqrt(blocks[i].square));
      power.push_back(blocks[i].power);
    }
    const double rms = quantile_of(relative, 0.25) / normal_quartile;
    groups.push_back({median_of(power), rms * rms, static_cast<double>(size)});
  }
  return groups;
}

}  // namespace

void estimate_densities(LinearTrace& trace, std::size_t light_end, const std::vector<Candidate>& peaks) {
  // A receiver of one pole correlates the noise over twice its time constant.
  const double own = trace.noise * trace.noise * std::max(1.0, 2 * trace.pulse.receiver);
  trace.noise_density = own;
  trace.fading_density = 0;
  const auto size = static_cast<std::size_t>(std::max(4.0, std::round(trace.pulse.width)));
  const std::vector<Group> groups = groups_of(blocks_of(trace, light_end, peaks, size));
  if (groups.empty()) {
    if (own == 0) trace.fading_density = 1e-6;
    return;
  }
  // Variance of the second difference over blocks of a pulse, in densities over the block's size: worked out
  // for a matched receiver (time constant 0.39 pulses).
  constexpr double of_noise = 2.54;
  constexpr double of_fading = 1.455;
  const auto samples = static_cast<double>(size);
  double noise = own;
  if (!trace.noise_seen) {
    noise = 1e300;
    for (const Group& group : groups) noise = std::min(noise, group.variance * samples / of_noise);
  }
  std::vector<double> left;
  left.reserve(groups.size());
  for (const Group& group : groups)
    left.push_back(std::max(0.0, group.variance * samples - of_noise * noise) / of_fading /
                   (group.power * group.power));
  // The brightest groups tell the fading best, and those without events least wrongly.
  left.resize(std::max<std::size_t>(1, (left.size() + 1) / 2));
  const double fading = quantile_of(left, 0.25);
  trace.noise_density = std::max(noise, 1e-30);
  trace.fading_density = std::min(fading, most_fading * trace.pulse.width);
}

std::size_t light_end_of(const LinearTrace& trace) {
  const std::size_t size = trace.power.size();
  if (!trace.noise_seen) return size;
  const auto block = static_cast<std::size_t>(std::max(8.0, std::round(4 * trace.pulse.width)));
  const double sd = std::sqrt(trace.noise * trace.noise * std::max(1.0, 2 * trace.pulse.receiver) /
                              static_cast<double>(block));
  std::size_t end = 0;
  std::vector<double> values;
  for (std::size_t at = 0; at + block <= size; at += block) {
    values.assign(trace.power.begin() + static_cast<std::ptrdiff_t>(at),
                  trace.power.begin() + static_cast<std::ptrdiff_t>(at + block));
    // The median does not see an echo shorter than half a block; longer ones stand far behind the end.
    if (median_of(values) > trace.floor_median + 6 * sd + 0.1 * trace.noise)
      end = at + block;
    else if (at >= end + dark_blocks * block && end > 0)
      break;
  }
  return std::min(end + block / 2, size);
}

}  // namespace strandbook
