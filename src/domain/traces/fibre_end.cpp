#include "domain/traces/fibre_end.hpp"

#include <algorithm>
#include <cmath>

namespace strandbook {
namespace {

double sum_of(const std::vector<double>& values, std::size_t first, std::size_t last) {
  double sum = 0;
  for (std::size_t k = first; k < std::min(last, values.size()); ++k) sum += values[k];
  return sum;
}

/// Is what follows this peak only its tail? It falls from part to part, faster than light in a fibre, until
/// the noise hides it. Deep under the light before the peak it takes plain flatness to be fibre.
bool only_tail(const TraceGround& ground, const Candidate& peak, std::size_t last) {
  constexpr std::size_t parts = 6;
  constexpr double deep = 0.04;
  const LinearTrace& light = ground.light;
  const double w = light.pulse.width;
  if (last < peak.until || static_cast<double>(last - peak.until) < w) return true;
  const std::size_t part = std::max((last - peak.until) / parts, static_cast<std::size_t>(std::ceil(w / 2)));
  const auto n = static_cast<double>(part);
  const double fibre = std::exp(ground.prior.mean * n * light.step_km / decibels_per_share);
  const auto foot = static_cast<std::size_t>(std::max(0.0, peak.start - w / 2 - 2));
  const std::size_t side = std::min(foot, static_cast<std::size_t>(3 * w) + 4);
  const double over = sum_of(light.shown, foot - side, foot) / static_cast<double>(side + 1);
  double before = 0;
  for (std::size_t i = 0; i + 2 < parts; ++i) {
    const double mean = sum_of(light.shown, peak.until + i * part, peak.until + (i + 1) * part) / n;
    const double deviation = std::sqrt(2 * (light.noise_density + light.fading_density * mean * mean) / n);
    const double least_fall =
        mean < deep * over ? 0.03 * before - 3 * deviation : std::max(0.03 * before, 3 * deviation);
    if (i > 0 && mean > 3 * light.noise && mean > fibre * before - least_fall) return false;
    before = mean;
  }
  return true;
}

/// Does the light fall far faster than in fibre?
bool sinks(const TraceGround& ground, SampleRange range) {
  const Line free = ground.lines.fit(range, {0, 1e4});
  return free.slope < ground.prior.mean - 1 - 4 * std::sqrt(free.slope_variance);
}

/// Where a fibre sinks into the noise the light keeps to its line; where it ends it does not.
bool breaks_promise(const LinearTrace& light, const Line& line, SampleRange range) {
  if (range.last <= range.first) return false;
  double missing = 0;
  for (std::size_t k = range.first; k < range.last; ++k)
    missing += std::exp(line.at(static_cast<double>(k) * light.step_km) / decibels_per_share) -
               (light.power[k] - light.floor_mean);
  const auto n = static_cast<double>(range.last - range.first);
  return missing / n >= 8 * std::sqrt(light.noise_density / n);
}

std::size_t behind_peaks(const TraceGround& ground, const std::vector<Candidate>& peaks) {
  std::size_t from = ground.first;
  for (const Candidate& peak : peaks)
    if (peak.start < static_cast<double>(ground.last)) from = std::max(from, peak.until);
  return from;
}

/// Is this stretch fibre, or only a tail of the detector or noise? Its beginning tells.
bool is_fibre(const TraceGround& ground, std::size_t i) {
  const LinearTrace& light = ground.light;
  const FittedSection& section = ground.sections[i];
  if (!(section.line.information > 0)) return false;
  const std::size_t from = i == 0 ? ground.first : ground.marks[i - 1].candidate.until;
  const std::size_t next = i < ground.marks.size() ? ground.marks[i].before_last : light.power.size();
  const std::size_t to =
      std::min(next, from + static_cast<std::size_t>(std::ceil(4 * light.pulse.width)) + 8);
  if (to <= from) return false;
  const double sum = sum_of(light.power, from, to);
  const double tail = sum_of(light.tail, from, to);
  const auto n = static_cast<double>(to - from);
  const double deviation = std::sqrt(light.noise_density / n);
  const double unsure = std::max(0.1 * tail / n, 6 * deviation + 0.15 * light.noise);
  if (!(sum / n > light.floor_mean + unsure)) return false;
  if (i == 0) return true;
  const double x = ground.marks[i - 1].edge.start * light.step_km;
  const FittedSection& before = ground.sections[i - 1];
  const double drop = before.line.information > 0 ? before.line.at(x) - section.line.at(x) : 0;
  // A detector's tail sinks far faster than light in a fibre; close to the noise its slope cannot be told.
  return !(drop > 2 && (sinks(ground, {from, to}) || sum / n < 4 * light.noise));
}

}  // namespace

std::size_t dark_behind_peaks(const TraceGround& ground, const std::vector<Candidate>& peaks) {
  std::size_t dark_from = ground.light.power.size();
  std::size_t last = ground.last;
  const double margin = 2 + 0.3 * ground.light.pulse.width;
  for (auto peak = peaks.rbegin(); peak != peaks.rend(); ++peak) {
    if (peak->start >= static_cast<double>(ground.last)) continue;
    if (!only_tail(ground, *peak, last)) break;
    dark_from = peak->until;
    last = static_cast<std::size_t>(std::max(0.0, peak->start - margin));
  }
  return dark_from;
}

std::optional<Candidate> dark_end(const TraceGround& ground, const std::vector<Candidate>& peaks) {
  const LinearTrace& light = ground.light;
  if (!light.noise_seen) return std::nullopt;
  const std::size_t from = behind_peaks(ground, peaks);
  const auto pulse = static_cast<std::size_t>(std::ceil(light.pulse.width));
  const std::size_t reach = 16 * pulse + 16;
  const std::size_t last = std::min(ground.last + 4 * pulse, light.power.size());
  if (last < from + 3 * pulse + 8) return std::nullopt;
  const bool echo = std::any_of(peaks.begin(), peaks.end(), [&](const Candidate& peak) {
    return peak.start > static_cast<double>(from) && peak.start < static_cast<double>(last + 8 * pulse);
  });
  if (echo) return std::nullopt;
  // The end of the light is known to some pulses only.
  const std::size_t room = ground.last > from ? ground.last - from : 0;
  const std::size_t sure = room > reach + 8 * pulse
                               ? ground.last - reach
                               : from + std::min(room / 2, room > 10 * pulse ? room - 8 * pulse : 2 * pulse);
  const std::size_t base = sure > from + 60 * pulse ? sure - 60 * pulse : from;
  const Line line = ground.lines.fit({base, sure}, ground.prior);
  if (!(line.information > 0) || sinks(ground, {base, sure})) return std::nullopt;
  if (!breaks_promise(light, line, {last, std::min(last + 8 * pulse + 8, light.power.size())}))
    return std::nullopt;
  const EdgeFit edge = fit_dark_edge(light, line, {sure, std::min(last + 4 * pulse, light.power.size())});
  Candidate end;
  end.start = edge.start;
  end.until = std::min(static_cast<std::size_t>(std::max(0.0, std::ceil(edge.start + light.pulse.extent()))),
                       light.power.size());
  end.dark_behind = true;
  return end;
}

EndState settle_end(TraceGround& ground, std::vector<Candidate>& beyond) {
  if (!ground.light.noise_seen) return EndState::beyond_range;
  std::size_t fibre = ground.sections.size();
  while (fibre > 0 && !is_fibre(ground, fibre - 1)) --fibre;
  if (fibre == 0) fibre = 1;
  if (fibre == ground.sections.size()) return EndState::beyond_noise;
  for (std::size_t i = fibre; i < ground.marks.size(); ++i)
    if (ground.marks[i].candidate.peak) beyond.push_back(ground.marks[i].candidate);
  ground.marks.resize(fibre);
  ground.sections.resize(fibre + 1);
  return EndState::found;
}

}  // namespace strandbook
