// Echoes: light that went to a reflection, back to an earlier one, out again to a third, and home.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "domain/traces/event_results.hpp"

namespace strandbook {
namespace {

// An echo's height follows from three reflectances, each known to a decibel or so.
constexpr double height_tolerance_db = 3.0;
constexpr double usual_panel_db = -30;  // common practice, where the panel's own peak is full

struct Mirror {
  double at_m = 0;
  double reflectance_db = 0;  ///< greatest where the peak is full
  bool bound = false;
  double level_db = 0;  ///< of the backscatter there, one way
  std::string name;
};

struct Path {
  double at_m = 0;
  double level_db = 0;  ///< one way, as a trace shows it, relative to the first backscatter
  bool bound = false;
  std::string words;
};

/// All echoes of these mirrors: from j back to i, out to k; i < j, i < k, the panel among them.
std::vector<Path> paths_of(const std::vector<Mirror>& mirrors, double unit_db) {
  std::vector<Path> paths;
  for (std::size_t i = 0; i < mirrors.size(); ++i)
    for (std::size_t j = i + 1; j < mirrors.size(); ++j)
      for (std::size_t k = j; k < mirrors.size(); ++k) {
        const Mirror &a = mirrors[i], &b = mirrors[j], &c = mirrors[k];
        const double twice = j == k ? 0 : 1.505;  // two ways round: 5·log10 2
        paths.push_back(
            {b.at_m - a.at_m + c.at_m,
             (a.reflectance_db + b.reflectance_db + c.reflectance_db - unit_db) / 2 + b.level_db +
                 c.level_db - a.level_db + twice,
             a.bound || b.bound || c.bound,
             fmt::format("echo between {} and {}{}", a.name, b.name, j == k ? "" : " by way of " + c.name)});
      }
  return paths;
}

}  // namespace

void mark_ghosts(const Trace& trace, const TraceGround& ground, const std::vector<Candidate>& beyond,
                 std::optional<double> panel_reflectance_db, TraceAnalysis& out) {
  const double b = trace.settings.backscatter ? trace.settings.backscatter->value : -80;
  const double unit_db = b + 10 * std::log10(trace.settings.pulse_ns);
  const double gate = 3 * trace.step.value + 0.35 * ground.light.pulse.width * trace.step.value;
  std::vector<Mirror> mirrors = {
      {0, panel_reflectance_db.value_or(usual_panel_db), !panel_reflectance_db, 0, "the panel"}};
  const auto level_at = [&](const TraceEvent& event) {
    const double x = (event.position.value - trace.first.value) / 1000;
    for (const FittedSection& section : ground.sections)
      if (section.samples.last >= event.before.last && section.line.information > 0)
        return section.line.at(x);
    return 0.0;
  };
  const double first_level = ground.sections.empty() ? 0 : ground.sections.front().line.at(0);
  for (TraceEvent& event : out.events) {
    if (!event.height) continue;
    const double level = level_at(event) - first_level;
    const double top = level + event.height->value;
    const bool no_step = event.loss && std::abs(event.loss->value) < 3.5 * event.loss->standard_uncertainty;
    if (no_step && event.kind == EventKind::reflective) {
      const double shown_db = level + (5 * std::log10(std::pow(10, event.height->value / 5) - 1));
      for (const Path& path : paths_of(mirrors, unit_db)) {
        const bool in_place = std::abs(path.at_m - event.position.value) <= gate;
        const bool as_high = path.level_db < shown_db + 30 &&
                             (path.bound ? path.level_db > shown_db - 12 && path.level_db < shown_db + 12
                                         : std::abs(path.level_db - shown_db) < height_tolerance_db);
        if (!in_place || !as_high) continue;
        event.kind = EventKind::ghost;
        event.echo = path.words;
        event.loss.reset();
        event.reflectance.reset();
        break;
      }
    }
    if (event.kind == EventKind::ghost) continue;
    const double r = unit_db + 10 * std::log10(std::max(1e-9, std::pow(10, event.height->value / 5) - 1));
    mirrors.push_back(
        {event.position.value, r, event.saturated, level, fmt::format("{:.1f} m", event.position.value)});
    (void)top;
  }
  // Behind the end there is nothing but echoes, whether or not one explains them.
  const std::vector<Path> paths = paths_of(mirrors, unit_db);
  for (const Candidate& peak : beyond) {
    TraceEvent event;
    event.kind = EventKind::ghost;
    event.position = trace.position_of(peak.start);
    event.position_uncertainty = {trace.step.value};
    event.until = trace.position_of(static_cast<double>(peak.until));
    event.echo = "behind the end of the fibre";
    for (const Path& path : paths)
      if (std::abs(path.at_m - event.position.value) <= gate) event.echo = path.words;
    out.events.push_back(std::move(event));
  }
}

void state_return_loss(const Trace& trace, const TraceGround& ground, TraceAnalysis& out) {
  if (!trace.settings.backscatter || ground.sections.empty()) return;
  const FittedSection& first = ground.sections.front();
  if (!(first.line.information > 0)) return;
  const double w = ground.light.pulse.width;
  std::size_t last = ground.last;
  for (const TraceEvent& event : out.events) {
    if (event.kind == EventKind::end_of_fibre)
      last = static_cast<std::size_t>(
          std::max(0.0, (event.position.value - trace.first.value) / trace.step.value + w +
                            4 * ground.light.pulse.receiver));
    if (event.saturated && event.kind != EventKind::ghost) out.return_loss_is_bound = true;
  }
  last = std::min(last, ground.light.power.size());
  // From the panel to where the fibre can first be seen its line stands for it.
  const double zero = -trace.first.value / trace.step.value;
  const double start_power = std::exp(first.line.at(zero * ground.light.step_km) / decibels_per_share);
  const double head = std::max(0.0, static_cast<double>(ground.first) - zero);
  double sum = start_power * head;
  for (std::size_t k = ground.first; k < last; ++k) sum += ground.light.power[k];
  // dt of a sample, ns, there and back.
  const double dt_ns = 2 * trace.settings.index.value * trace.step.value / light_speed * 1e9;
  const double back = std::pow(10, trace.settings.backscatter->value / 10) * sum / start_power * dt_ns;
  if (!(back > 0)) return;
  const double spread =
      std::sqrt(ground.light.noise_density * static_cast<double>(last - std::min(last, ground.first)));
  out.return_loss = Measured{-10 * std::log10(back), 4.343 * spread / std::max(sum, 1e-300)};
}

}  // namespace strandbook
