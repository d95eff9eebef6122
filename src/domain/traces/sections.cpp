// Lines through the fibre between events.

#include <algorithm>
#include <cmath>

#include "domain/traces/analysis_ground.hpp"

namespace strandbook {
namespace {

constexpr double late_tail = 4;           ///< standard deviations by which a beginning may lie off its line
constexpr double farthest_line_db = 1.5;  ///< from the light of its section
constexpr double longest_late_event = 4;  ///< pulses in which an event before the next may stand
constexpr double longest_late_tail = 12;  ///< pulses that are left out at most

void renew_lines(TraceGround& ground) {
  ground.lines.take(ground.level, ground.weight, ground.light.step_km);
}

/// Mean residual of `part` about the line of `rest`, in its standard deviations.
double off_line(const LineSums& lines, SampleRange part, SampleRange rest, SlopePrior prior) {
  const Line line = lines.fit(rest, prior);
  const Line here = lines.fit(part, {prior.mean, 1e-6});
  if (!(line.information > 0) || !(here.information > 0)) return 0;
  const double x = here.centre;
  return (here.level - line.at(x)) / std::sqrt(1 / here.information + line.variance_at(x));
}

/// A detector's tail behind a peak lifts the beginning of a section: it is left out as far as it shows.
std::size_t straight_from(const LineSums& lines, SampleRange section, SlopePrior prior, double pulse) {
  std::size_t first = section.first;
  const auto unit = static_cast<std::size_t>(std::max(3.0, std::round(pulse / 2)));
  const std::size_t latest = section.first + std::min((section.last - section.first) / 2,
                                                      static_cast<std::size_t>(longest_late_tail * pulse));
  bool moved = true;
  while (moved && first + 4 * unit < section.last) {
    moved = false;
    for (std::size_t part = unit; first + 3 * part < section.last; part *= 2) {
      if (off_line(lines, {first, first + part}, {first + part, section.last}, prior) < late_tail) continue;
      if (first + unit > latest) return section.first + (latest - section.first);
      first += std::max<std::size_t>(unit, part / 3);
      moved = true;
      break;
    }
  }
  return std::min(first, latest);
}

/// Light of an event that was not seen, an echo shortly before it, or an edge that begins early may lift the
/// end of a section.
std::size_t straight_until(const LineSums& lines, SampleRange section, SlopePrior prior, double pulse) {
  const auto unit = static_cast<std::size_t>(std::max(3.0, std::round(pulse / 2)));
  const auto longest = static_cast<std::size_t>(longest_late_event * pulse);
  std::size_t last = section.last;
  const auto least = section.first + (section.last - section.first) * 2 / 3;
  const auto off = [&](std::size_t part) {
    return section.first + 4 * part < last && last > least + part &&
           std::abs(off_line(lines, {last - part, last}, {section.first, last - part}, prior)) >
               2 * late_tail;
  };
  bool moved = true;
  while (moved) {
    moved = false;
    for (std::size_t part = unit; part <= std::max(unit, longest) && !moved; part *= 2) {
      if (!off(part)) continue;
      last -= part;
      moved = true;
    }
  }
  return last;
}

/// Where a line lies far from the light of its section, levels linear about it would mislead: it is moved
/// first.
double misplaced_by(const TraceGround& ground, const FittedSection& section) {
  double light = 0;
  double line = 0;
  const double step = ground.light.step_km;
  const double share = std::exp(section.line.slope * step / decibels_per_share);
  double power =
      std::exp(section.line.at(static_cast<double>(section.samples.first) * step) / decibels_per_share);
  for (std::size_t k = section.samples.first; k < section.samples.last; ++k, power *= share) {
    if (ground.light.shows_echo(k)) continue;
    light += ground.light.of_fibre(k);
    line += power;
  }
  const double ratio = light / line;
  if (ratio > 0.8 && ratio < 1.25) return 0;
  return decibels_per_share * std::log(std::clamp(ratio, 1e-3, 1e9));
}

}  // namespace

void set_search_levels(TraceGround& ground, const std::vector<Candidate>& peaks) {
  const LinearTrace& light = ground.light;
  const std::size_t size = light.power.size();
  std::vector<char> out(size, 0);
  for (const Candidate& peak : peaks) {
    const auto from = static_cast<std::size_t>(std::max(0.0, peak.start - 1 - 0.3 * light.pulse.width));
    for (std::size_t k = from; k < std::min(peak.until, size); ++k) out[k] = 1;
  }
  std::vector<double> sum(size + 1);
  std::vector<double> count(size + 1);
  for (std::size_t k = 0; k < size; ++k) {
    sum[k + 1] = sum[k] + (out[k] != 0 ? 0 : light.of_fibre(k));
    count[k + 1] = count[k] + (out[k] != 0 ? 0 : 1);
  }
  const auto half = static_cast<std::size_t>(std::max(8.0, 2 * light.pulse.width));
  ground.level.assign(size, 0);
  ground.weight.assign(size, 0);
  for (std::size_t k = ground.first; k < ground.last; ++k) {
    if (out[k] != 0 || light.power[k] >= light.saturation) continue;
    const std::size_t a =
        k > ground.first + half ? k - half : ground.first;  // the panel's light is no fibre's
    const std::size_t b = std::min(size, k + half + 1);
    const double mean = (sum[b] - sum[a]) / (count[b] - count[a]);
    if (!(mean > 1.5 * light.noise) || mean <= 0) continue;
    ground.level[k] = decibels_per_share * (std::log(mean) + light.of_fibre(k) / mean - 1);
    ground.weight[k] = 1 / (light.level_density(mean) + light.tail_level_density(mean, k));
  }
  renew_lines(ground);
}

void fit_sections(TraceGround& ground) {
  const double pulse = ground.light.pulse.width;
  for (std::size_t i = 0; i < ground.sections.size(); ++i) {
    FittedSection& section = ground.sections[i];
    const std::size_t from = i == 0 ? ground.first : ground.marks[i - 1].candidate.until;
    const std::size_t to = i < ground.marks.size() ? ground.marks[i].before_last : ground.last;
    section.samples = {std::min(from, to), to};
    section.samples.first = straight_from(ground.lines, section.samples, ground.prior, pulse);
    section.samples.last = straight_until(ground.lines, section.samples, ground.prior, pulse);
    section.line = ground.lines.fit(section.samples, ground.prior);
    if (i > 0) ground.marks[i - 1].after_first = section.samples.first;
  }
}

void hide_echoes(TraceGround& ground) {
  ground.light.echo.assign(ground.light.power.size(), 0);
  const double pulse = ground.light.pulse.width;
  std::size_t from = ground.first;
  std::size_t mark = 0;
  for (std::size_t i = 0; i < ground.echoes.size(); ++i) {
    Mark& echo = ground.echoes[i];
    const auto before = [&](const Mark& other) { return other.candidate.start < echo.candidate.start; };
    for (; mark < ground.marks.size() && before(ground.marks[mark]); ++mark)
      from = std::max(from, ground.marks[mark].after_first);
    std::size_t to = mark < ground.marks.size() ? ground.marks[mark].before_last : ground.last;
    if (i + 1 < ground.echoes.size()) to = std::min(to, ground.echoes[i + 1].before_last);
    const SampleRange behind{std::min(echo.candidate.until, to), to};
    const SampleRange ahead{std::min(from, echo.before_last), echo.before_last};
    echo.before_last = straight_until(ground.lines, ahead, ground.prior, pulse);
    echo.after_first = straight_from(ground.lines, behind, ground.prior, pulse);
    for (std::size_t k = echo.before_last; k < std::min(echo.after_first, ground.light.echo.size()); ++k)
      ground.light.echo[k] = 1;
    from = echo.after_first;
  }
}

namespace {

/// Levels of a section about its own line.
void set_levels_by_line(TraceGround& ground, std::size_t i) {
  const LinearTrace& light = ground.light;
  FittedSection& section = ground.sections[i];
  const std::size_t from = i == 0 ? ground.first : ground.marks[i - 1].candidate.until;
  const std::size_t to = i < ground.marks.size() ? ground.marks[i].before_last : ground.last;
  // A line's power changes by the same share from sample to sample.
  const double step = section.line.slope * light.step_km;
  const double share = std::exp(step / decibels_per_share);
  double level = section.line.at(static_cast<double>(from) * light.step_km);
  double power = std::exp(level / decibels_per_share);
  for (std::size_t k = from; k < to; ++k, level += step, power *= share) {
    if (light.power[k] >= light.saturation || !(power > 1.5 * light.noise) || ground.light.shows_echo(k)) {
      ground.weight[k] = 0;
      continue;
    }
    ground.level[k] = level + decibels_per_share * (light.of_fibre(k) / power - 1);
    ground.weight[k] = 1 / (light.level_density(power) + light.tail_level_density(power, k));
  }
}

}  // namespace

void refine_sections(TraceGround& ground, int rounds) {
  ground.sections.resize(ground.marks.size() + 1);
  fit_sections(ground);
  for (int round = 0; round < rounds; ++round) {
    for (std::size_t i = 0; i < ground.sections.size(); ++i) {
      FittedSection& section = ground.sections[i];
      if (!(section.line.information > 0)) continue;
      section.line.level += misplaced_by(ground, section);
      set_levels_by_line(ground, i);
    }
    renew_lines(ground);
    fit_sections(ground);
  }
  // What no line comes to lie on is no fibre but peaks that were not told.
  for (FittedSection& section : ground.sections)
    if (section.line.information > 0 && std::abs(misplaced_by(ground, section)) > farthest_line_db)
      section.line.information = 0;
}

SlopePrior robust_slope(const TraceGround& ground, SlopePrior usual) {
  constexpr std::size_t parts = 40;
  std::vector<std::pair<double, double>> slopes;  // slope, information
  if (ground.last < ground.first + 8 * parts) return usual;
  const std::size_t length = (ground.last - ground.first) / parts;
  for (std::size_t i = 0; i < parts; ++i) {
    const std::size_t from = ground.first + i * length;
    const Line line = ground.lines.fit({from, from + length}, {0, 1e6});
    if (line.slope_variance < 1e6 && line.information > 0)
      // However clear its light, an event in a part bends it: no part alone may decide.
      slopes.emplace_back(line.slope, 1 / (line.slope_variance + usual.deviation * usual.deviation));
  }
  if (slopes.size() < 6) return usual;
  std::sort(slopes.begin(), slopes.end());
  double all = 0;
  for (const auto& each : slopes) all += each.second;
  double sum = 0;
  double median = usual.mean;
  for (const auto& each : slopes) {
    sum += each.second;
    if (sum >= all / 2) {
      median = each.first;
      break;
    }
  }
  // Parts with events in them spread the slopes; the median's own variance is a half more than the mean's.
  const double variance = 1.6 / all + 1e-6;
  const double known = 1 / (usual.deviation * usual.deviation);
  return {(known * usual.mean + median / variance) / (known + 1 / variance), usual.deviation};
}

}  // namespace strandbook
