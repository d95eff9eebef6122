// Echoes: light that went to a reflection, back to an earlier one, out again to a third, and home.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "domain/traces/event_results.hpp"

namespace strandbook {
namespace {

// An echo's height follows from three reflectances, each known to a decibel or so.
constexpr double height_tolerance_db = 3.0;
// Where the panel's own peak is full; common practice.
constexpr double darkest_panel_db = -50;
constexpr double full_edge = 0.12;  ///< of a pulse: how early a full receiver's edge may seem to begin
// What a peak leaves behind itself, where nothing else is known: this share of its height.
constexpr double left_behind = 0.005;
// Mated connectors lose more, and three reflections leave little light (common practice).
constexpr double lossless_db = 0.02;
constexpr double low_db = 3;
constexpr double bare_glass_db = -14;         // flat glass against air (Fresnel, n = 1.47: -14.4 dB)
constexpr double usual_backscatter_db = -80;  // where the record names none

struct Mirror {
  double at_m = 0;
  double least_db = 0;  ///< reflectance; of a full peak it may be anything from its height to bare glass
  double most_db = 0;
  double level_db = 0;  ///< of the backscatter there, one way
  double unsure_m = 0;  ///< of its place: a full receiver shows only the foot of its edge
  double hides_m = 0;   ///< so far behind it another may stand that is not seen
  std::string name;
};

struct Path {
  double at_m = 0;
  double least_db = 0;  ///< of the echo, one way, as a trace shows it, relative to the first backscatter
  double most_db = 0;
  double unsure_m = 0;
  double early_m = 0;  ///< by so much it may stand before `at_m` where a mirror is one that is hidden
  double late_m = 0;   ///< likewise behind it
  std::size_t back = 0, out = 0, third = 0;  ///< mirrors: from `out` back to `back`, out to `third`
};

/// A trace of so many reflections is none of a link; the strongest make the echoes that can be seen.
constexpr std::size_t most_mirrors = 40;

/// The first echo of these mirrors, the panel among them, that is `wanted`. None is kept: a hostile file may
/// hold thousands of peaks.
template <class Wanted>
std::optional<Path> find_path(const std::vector<Mirror>& mirrors, double unit_db, const Wanted& wanted) {
  for (std::size_t i = 0; i < mirrors.size(); ++i)
    for (std::size_t j = i + 1; j < mirrors.size(); ++j)
      for (std::size_t k = j; k < mirrors.size(); ++k) {
        const Mirror &a = mirrors[i], &b = mirrors[j], &c = mirrors[k];
        const double twice = j == k ? 0 : 1.505;  // two ways round: 5·log10 2
        const double levels = b.level_db + c.level_db - a.level_db + twice - unit_db / 2;
        const Path path{b.at_m - a.at_m + c.at_m,
                        (a.least_db + b.least_db + c.least_db) / 2 + levels,
                        (a.most_db + b.most_db + c.most_db) / 2 + levels,
                        a.unsure_m + b.unsure_m + c.unsure_m,
                        a.hides_m,
                        b.hides_m + c.hides_m,
                        i,
                        j,
                        k};
        if (wanted(path)) return path;
      }
  return std::nullopt;
}

class EchoBook {
 public:
  EchoBook(const Trace& trace, const TraceGround& ground, std::optional<double> panel_db)
      : ground_(ground),
        first_m_(trace.first.value),
        unit_db_((trace.settings.backscatter ? trace.settings.backscatter->value : usual_backscatter_db) +
                 10 * std::log10(trace.settings.pulse_ns)),
        pulse_m_(ground.light.pulse.width * trace.step.value),
        gate_m_(3 * trace.step.value + 0.35 * pulse_m_),
        first_level_(ground.sections.empty() ? 0 : ground.sections.front().line.at(0)),
        mirrors_{{0, panel_db.value_or(darkest_panel_db), panel_db.value_or(bare_glass_db), 0, 0, 0,
                  "the panel"}} {}

  /// The path that explains a peak of this height without a step; empty where none does.
  std::string explain(const TraceEvent& event) const {
    const double shown_db = level_at(event) + 5 * std::log10(std::pow(10, event.height->value / 5) - 1);
    const auto tall = [&](const Path& each) {
      return shown_db > each.least_db - height_tolerance_db && shown_db < each.most_db + height_tolerance_db;
    };
    const auto path = find_path(mirrors_, unit_db_, [&](const Path& each) {
      return std::abs(each.at_m - event.position.value) <= gate_m_ + each.unsure_m && tall(each);
    });
    if (path) return words_of(*path);
    // Low, and of no loss: no connection, but an echo of one that stands hidden behind another.
    const double most_loss = std::abs(event.loss->value) + 2 * event.loss->standard_uncertainty;
    if (most_loss > lossless_db || event.height->value > low_db) return {};
    const auto hidden = find_path(mirrors_, unit_db_, [&](const Path& each) {
      const double off = event.position.value - each.at_m;
      const double gate = gate_m_ + each.unsure_m;
      return off >= -gate - each.early_m && off <= gate + each.late_m && tall(each);
    });
    return hidden ? "echo by way of a reflection that stands hidden behind another" : std::string{};
  }

  /// The path that ends here, whatever its height.
  std::string path_to(Metres position) const {
    const auto path = find_path(mirrors_, unit_db_, [&](const Path& each) {
      return std::abs(each.at_m - position.value) <= gate_m_ + each.unsure_m;
    });
    return path ? words_of(*path) : std::string{};
  }

  void add(const TraceEvent& event) {
    const double least =
        unit_db_ + 10 * std::log10(std::max(1e-9, std::pow(10, event.height->value / 5) - 1));
    if (mirrors_.size() > most_mirrors) {
      const auto weakest =
          std::min_element(mirrors_.begin() + 1, mirrors_.end(),
                           [](const Mirror& x, const Mirror& y) { return x.least_db < y.least_db; });
      if (weakest->least_db >= least) return;
      mirrors_.erase(weakest);
    }
    mirrors_.push_back({event.position.value, least, event.saturated ? std::max(least, bare_glass_db) : least,
                        level_at(event), event.saturated ? full_edge * pulse_m_ : 0,
                        std::max(0.0, event.until.value - event.position.value),
                        fmt::format("{:.1f} m", event.position.value)});
  }

 private:
  std::string words_of(const Path& path) const {
    const std::string& back = mirrors_[path.back].name;
    const std::string& out = mirrors_[path.out].name;
    if (path.out == path.third) return fmt::format("echo between {} and {}", back, out);
    return fmt::format("echo between {} and {} by way of {}", back, out, mirrors_[path.third].name);
  }

  /// One-way level of the backscatter before an event, relative to the first.
  double level_at(const TraceEvent& event) const {
    const double x = (event.position.value - first_m_) / 1000;
    for (const FittedSection& section : ground_.sections)
      if (section.samples.last >= event.before.last && section.line.information > 0)
        return section.line.at(x) - first_level_;
    return -first_level_;
  }

  const TraceGround& ground_;
  double first_m_;
  double unit_db_;
  double pulse_m_;
  double gate_m_;
  double first_level_;
  std::vector<Mirror> mirrors_;
};

TraceEvent echo_behind_end(const Trace& trace, const Candidate& peak, const EchoBook& book) {
  TraceEvent event;
  event.kind = EventKind::ghost;
  event.position = trace.position_of(peak.start);
  event.position_uncertainty = {trace.step.value};
  event.until = trace.position_of(static_cast<double>(peak.until));
  event.echo = book.path_to(event.position);
  // Behind the end there is nothing but echoes, whether or not a path explains them.
  if (event.echo.empty()) event.echo = "behind the end of the fibre";
  return event;
}

}  // namespace

void mark_ghosts(const Trace& trace, const TraceGround& ground, const std::vector<Candidate>& beyond,
                 std::optional<double> panel_reflectance_db, TraceAnalysis& out) {
  EchoBook book(trace, ground, panel_reflectance_db);
  for (TraceEvent& event : out.events) {
    if (!event.height) continue;
    const bool no_step =
        event.loss && std::abs(event.loss->value) < 3.5 * std::hypot(event.loss->standard_uncertainty,
                                                                     left_behind * event.height->value);
    if (no_step && event.kind == EventKind::reflective) event.echo = book.explain(event);
    if (event.echo.empty()) {
      book.add(event);
      continue;
    }
    event.kind = EventKind::ghost;
    event.loss.reset();
    event.reflectance.reset();
  }
  for (const Candidate& peak : beyond) out.events.push_back(echo_behind_end(trace, peak, book));
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
