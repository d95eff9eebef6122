#include "domain/traces/fibre_end.hpp"

#include <algorithm>
#include <cmath>

#include "domain/traces/tails.hpp"

namespace strandbook {
namespace {

constexpr double rare_drop_db = 3;  ///< more than joints lose

double sum_of(const std::vector<double>& values, std::size_t first, std::size_t last) {
  double sum = 0;
  for (std::size_t k = first; k < std::min(last, values.size()); ++k) sum += values[k];
  return sum;
}

/// Is what follows this peak only its tail? It falls from part to part, faster than light in a fibre, until
/// the noise hides it, and no slower than the slowest tail of a detector. Deep under the light before the
/// peak it takes plain flatness to be fibre.
bool only_tail(const TraceGround& ground, const Candidate& peak, std::size_t last) {
  constexpr std::size_t parts = 6;
  constexpr double deep = 0.04;
  const LinearTrace& light = ground.light;
  const double w = light.pulse.width;
  if (last < peak.until || static_cast<double>(last - peak.until) < w) return true;
  const std::size_t part = std::max((last - peak.until) / parts, static_cast<std::size_t>(std::ceil(w / 2)));
  const auto n = static_cast<double>(part);
  const double fibre = std::exp(ground.prior.mean * n * light.step_km / decibels_per_share);
  const double slowest = std::exp(-n / longest_tail(light));
  const auto foot = static_cast<std::size_t>(std::max(0.0, peak.start - w / 2 - 2));
  const std::size_t side = std::min(foot, static_cast<std::size_t>(3 * w) + 4);
  const double over = sum_of(light.shown, foot - side, foot) / static_cast<double>(side + 1);
  double before = 0;
  for (std::size_t i = 0; i + 2 < parts; ++i) {
    const double mean = sum_of(light.shown, peak.until + i * part, peak.until + (i + 1) * part) / n;
    const double deviation = std::sqrt(2 * (light.noise_density + light.fading_density * mean * mean) / n);
    const double least_fall =
        mean < deep * over ? 0.03 * before - 3 * deviation : std::max(0.03 * before, 3 * deviation);
    const double least = std::min(fibre * before - least_fall, slowest * before + 3 * deviation);
    if (i > 0 && mean > 3 * light.noise && mean > least) return false;
    before = mean;
  }
  return true;
}

/// Does the light fall far faster than in fibre?
bool sinks(const TraceGround& ground, SampleRange range) {
  const Line free = ground.lines.fit(range, {0, 1e4});
  return free.slope < ground.prior.mean - 1 - 4 * std::sqrt(free.slope_variance);
}

/// Does the light surely fall less than the slowest tail of a detector would?
bool lies_flat(const TraceGround& ground, SampleRange range) {
  const LinearTrace& light = ground.light;
  const double slowest_km = longest_tail(light) * light.step_km;
  const Line free = ground.lines.fit(range, {0, 1e4});
  return free.slope - 3 * std::sqrt(free.slope_variance) >
         ground.prior.mean - 0.5 * decibels_per_share / slowest_km;
}

double fibre_light(const LinearTrace& light, SampleRange range) {
  double sum = 0;
  for (std::size_t k = range.first; k < range.last; ++k) sum += light.of_fibre(k);
  return sum / static_cast<double>(range.last - range.first);
}

/// Where light ends without a peak it falls, within a pulse, by more than joints lose, and no fibre lies
/// behind. Where a fibre sinks into the noise it does not.
std::optional<SampleRange> fall_into_dark(const TraceGround& ground, SampleRange room) {
  const LinearTrace& light = ground.light;
  const auto pulse = static_cast<std::size_t>(std::ceil(light.pulse.width));
  const auto gap = static_cast<std::size_t>(std::ceil(light.pulse.extent()));
  const std::size_t n = 2 * pulse + 4;
  const double share = std::exp(-rare_drop_db / decibels_per_share);
  const double surely = 8 * std::sqrt(2 * light.noise_density / static_cast<double>(n));
  const std::size_t last = std::min(room.last + 8 * pulse, light.power.size());
  for (std::size_t k = room.first + n; k + gap + n <= last; k += std::max<std::size_t>(1, pulse / 2)) {
    const double before = fibre_light(light, {k - n, k}) - light.floor_mean;
    const double behind = fibre_light(light, {k + gap, k + gap + n}) - light.floor_mean;
    if (before < surely) return std::nullopt;
    if (behind > share * before || before - behind < surely) continue;
    const SampleRange rest{k + gap + n, room.last};
    if (rest.last > rest.first + 4 * pulse && behind > surely && lies_flat(ground, rest)) continue;
    // An event may stand shortly before the end: the edge is where the last light goes.
    std::size_t dark = k;
    while (dark + pulse < last && fibre_light(light, {dark, dark + pulse}) - light.floor_mean > 0.15 * before)
      ++dark;
    if (dark > k + 2 * gap + n) continue;
    return SampleRange{std::max(room.first + 2, dark - std::min(dark, 3 * pulse / 2)),
                       std::min(dark + gap, light.power.size())};
  }
  return std::nullopt;
}

/// Just before an echo behind the end there is no light.
bool stands_in_dark(const LinearTrace& light, const Candidate& peak) {
  const auto margin = static_cast<std::size_t>(2 + 0.3 * light.pulse.width);
  const auto side = static_cast<std::size_t>(std::ceil(light.pulse.width)) + 4;
  const auto start = static_cast<std::size_t>(std::max(0.0, peak.start));
  if (!light.noise_seen || start < margin + side) return false;
  const double mean = fibre_light(light, {start - margin - side, start - margin});
  return mean < light.floor_mean + 6 * std::sqrt(light.noise_density / static_cast<double>(side));
}

std::size_t behind_peaks(const TraceGround& ground, const std::vector<Candidate>& peaks) {
  std::size_t from = ground.first;
  for (const Candidate& peak : peaks)
    if (peak.start < static_cast<double>(ground.last) && !stands_in_dark(ground.light, peak))
      from = std::max(from, peak.until);
  return from;
}

/// Is this stretch fibre, or only a tail of the detector or noise? Its beginning tells, held against the last
/// fibre before it.
bool is_fibre(const TraceGround& ground, std::size_t i, std::size_t last_fibre) {
  const LinearTrace& light = ground.light;
  const FittedSection& section = ground.sections[i];
  if (!(section.line.information > 0)) return false;
  const std::size_t from = i == 0 ? ground.first : ground.marks[i - 1].candidate.until;
  const std::size_t next = i < ground.marks.size() ? ground.marks[i].before_last : light.power.size();
  const std::size_t to =
      std::min(next, from + static_cast<std::size_t>(std::ceil(4 * light.pulse.width)) + 8);
  if (to <= from) return false;
  const auto n = static_cast<double>(to - from);
  const double mean = fibre_light(light, {from, to});
  const double tail = sum_of(light.tail, from, to) / n;
  const double unsure = std::max(0.1 * tail, 6 * std::sqrt(light.noise_density / n) + 0.15 * light.noise);
  if (!(mean > light.floor_mean + unsure)) return false;
  if (i == 0) return true;
  const double x = ground.marks[i - 1].edge.start * light.step_km;
  const Line& before = ground.sections[last_fibre].line;
  const double drop = before.information > 0 ? before.at(x) - decibels_per_share * std::log(mean) : 0;
  // No joint loses so much, or hardly one: what lies behind must show that it is fibre.
  if (drop > rare_drop_db && !lies_flat(ground, section.samples)) return false;
  // A detector's tail sinks far faster than light in a fibre; close to the noise its slope cannot be told.
  return !(drop > 2 && (sinks(ground, {from, to}) || mean < 4 * light.noise));
}

/// A short stretch between strong peaks may still be lifted by them.
bool tells_level(const TraceGround& ground, std::size_t i, std::size_t last_fibre) {
  const FittedSection& section = ground.sections[i];
  const double length =
      static_cast<double>(section.samples.last) - static_cast<double>(section.samples.first);
  const double x = section.line.centre;
  return length > 4 * ground.light.pulse.width || section.line.level < ground.sections[last_fibre].line.at(x);
}

/// Sections up to an end without a peak, if the light just before it is fibre's; 0 where there is none.
std::size_t sections_until_dark(const TraceGround& ground, std::size_t last_fibre) {
  const LinearTrace& light = ground.light;
  const auto side = static_cast<std::size_t>(std::ceil(light.pulse.width)) + 2;
  for (std::size_t i = 0; i < ground.marks.size(); ++i) {
    const Mark& mark = ground.marks[i];
    if (!mark.candidate.dark_behind || mark.before_last < side) continue;
    const double mean = fibre_light(light, {mark.before_last - side, mark.before_last});
    const double promised = ground.sections[last_fibre].line.at(mark.edge.start * light.step_km);
    if (promised - decibels_per_share * std::log(std::max(mean, 1e-300)) < rare_drop_db) return i + 1;
  }
  return 0;
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
  const std::size_t last = std::min(ground.last + 4 * pulse, light.power.size());
  if (last < from + 3 * pulse + 8) return std::nullopt;
  const bool echo = std::any_of(peaks.begin(), peaks.end(), [&](const Candidate& peak) {
    return peak.start > static_cast<double>(from) && peak.start < static_cast<double>(last + 8 * pulse) &&
           !stands_in_dark(light, peak);
  });
  if (echo) return std::nullopt;
  const std::optional<SampleRange> fall = fall_into_dark(ground, {from, last});
  if (!fall) return std::nullopt;
  const std::size_t base = fall->first > from + 2 * pulse ? fall->first - 2 * pulse : from;
  const Line line = ground.lines.fit({base, fall->first}, ground.prior);
  if (!(line.information > 0) || sinks(ground, {base, fall->first})) return std::nullopt;
  const EdgeFit edge = fit_dark_edge(light, line, *fall);
  // No edge lies where the line itself rests.
  if (edge.start < static_cast<double>(fall->first) - light.pulse.width) return std::nullopt;
  Candidate end;
  end.start = edge.start;
  end.until = std::min(static_cast<std::size_t>(std::max(0.0, std::ceil(edge.start + light.pulse.extent()))),
                       light.power.size());
  end.dark_behind = true;
  return end;
}

EndState settle_end(TraceGround& ground, std::vector<Candidate>& beyond) {
  if (!ground.light.noise_seen) return EndState::beyond_range;
  std::size_t last_fibre = 0;
  std::size_t fibre = 1;
  for (std::size_t i = 1; i < ground.sections.size(); ++i) {
    if (!is_fibre(ground, i, last_fibre)) continue;
    fibre = i + 1;
    if (tells_level(ground, i, last_fibre)) last_fibre = i;
  }
  fibre = std::max(fibre, sections_until_dark(ground, last_fibre));
  if (fibre == ground.sections.size()) return EndState::beyond_noise;
  for (std::size_t i = fibre; i < ground.marks.size(); ++i)
    if (ground.marks[i].candidate.peak) beyond.push_back(ground.marks[i].candidate);
  ground.marks.resize(fibre);
  const auto behind = std::find_if(ground.echoes.begin(), ground.echoes.end(), [&](const Mark& echo) {
    return echo.candidate.start > ground.marks.back().candidate.start;
  });
  for (auto echo = behind; echo != ground.echoes.end(); ++echo) beyond.push_back(echo->candidate);
  ground.echoes.erase(behind, ground.echoes.end());
  ground.sections.resize(fibre + 1);
  return EndState::found;
}

}  // namespace strandbook
