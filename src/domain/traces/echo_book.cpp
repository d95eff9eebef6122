// Echoes: light that went to a reflection, back to an earlier one, out again to a third, and home.

#include "domain/traces/echo_book.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace strandbook {
namespace {

// An echo's height follows from three reflectances, each known to a decibel or so.
constexpr double height_tolerance_db = 3.0;
// Where the panel's own peak is full; common practice.
constexpr double darkest_panel_db = -50;
constexpr double full_edge = 0.12;  ///< of a pulse: how early a full receiver's edge may seem to begin
// Mated connectors lose more, and three reflections leave little light (common practice).
constexpr double lossless_db = 0.02;
constexpr double low_db = 3;
constexpr double likely_db = 0.1;  ///< half of what mated connectors lose on the average
constexpr double lowest_db = 1;
constexpr double bare_glass_db = -14;         // flat glass against air (Fresnel, n = 1.47: -14.4 dB)
constexpr double usual_backscatter_db = -80;  // where the record names none

/// A trace of so many reflections is none of a link; the strongest make the echoes that can be seen.
constexpr std::size_t most_mirrors = 40;

double over_the_light(double height_db) { return std::max(1e-9, std::pow(10, height_db / 5) - 1); }

}  // namespace

EchoBook::EchoBook(const Trace& trace, double pulse_m, std::optional<double> panel_db)
    : unit_db_((trace.settings.backscatter ? trace.settings.backscatter->value : usual_backscatter_db) +
               10 * std::log10(trace.settings.pulse_ns)),
      pulse_m_(pulse_m),
      gate_m_(3 * trace.step.value + 0.35 * pulse_m),
      mirrors_{
          {0, panel_db.value_or(darkest_panel_db), panel_db.value_or(bare_glass_db), 0, 0, 0, "the panel"}} {}

/// The first echo of these mirrors that is `wanted`. None is kept: a hostile file may hold thousands of
/// peaks.
template <class Wanted>
std::optional<EchoBook::Path> EchoBook::find_path(const Wanted& wanted) const {
  for (std::size_t i = 0; i < mirrors_.size(); ++i)
    for (std::size_t j = i + 1; j < mirrors_.size(); ++j)
      for (std::size_t k = j; k < mirrors_.size(); ++k) {
        const Mirror &a = mirrors_[i], &b = mirrors_[j], &c = mirrors_[k];
        const double twice = j == k ? 0 : 1.505;  // two ways round: 5·log10 2
        const double levels = b.level_db + c.level_db - a.level_db + twice - unit_db_ / 2;
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

std::string EchoBook::explain(const SeenPeak& peak) const {
  const double shown_db = peak.level_db + 5 * std::log10(over_the_light(peak.height_db));
  const auto tall = [&](const Path& each) {
    return shown_db > each.least_db - height_tolerance_db && shown_db < each.most_db + height_tolerance_db;
  };
  const auto path = find_path([&](const Path& each) {
    return std::abs(each.at_m - peak.at_m) <= gate_m_ + each.unsure_m && tall(each);
  });
  if (path) return words_of(*path);
  // Low, and of no loss: no connection, but an echo of one that stands hidden behind another.
  const bool lossless = peak.most_loss_db < lossless_db && peak.height_db < low_db;
  // Where the loss is less sure, a lower one.
  const bool likely =
      !(peak.least_loss_db > 0) && peak.most_loss_db < likely_db && peak.height_db < lowest_db;
  if (!lossless && !likely) return {};
  const auto hidden = find_path([&](const Path& each) {
    const double off = peak.at_m - each.at_m;
    const double gate = gate_m_ + each.unsure_m;
    return off >= -gate - each.early_m && off <= gate + each.late_m && tall(each);
  });
  return hidden ? "echo by way of a reflection that stands hidden behind another" : std::string{};
}

std::string EchoBook::path_to(Metres position) const {
  const auto path = find_path(
      [&](const Path& each) { return std::abs(each.at_m - position.value) <= gate_m_ + each.unsure_m; });
  return path ? words_of(*path) : std::string{};
}

void EchoBook::add(const SeenPeak& peak) {
  const double least = unit_db_ + 10 * std::log10(over_the_light(peak.height_db));
  if (mirrors_.size() > most_mirrors) {
    const auto weakest =
        std::min_element(mirrors_.begin() + 1, mirrors_.end(),
                         [](const Mirror& x, const Mirror& y) { return x.least_db < y.least_db; });
    if (weakest->least_db >= least) return;
    mirrors_.erase(weakest);
  }
  mirrors_.push_back({peak.at_m, least, peak.full ? std::max(least, bare_glass_db) : least, peak.level_db,
                      peak.full ? full_edge * pulse_m_ : 0, std::max(0.0, peak.until_m - peak.at_m),
                      fmt::format("{:.1f} m", peak.at_m)});
}

std::string EchoBook::words_of(const Path& path) const {
  const std::string& back = mirrors_[path.back].name;
  const std::string& out = mirrors_[path.out].name;
  if (path.out == path.third) return fmt::format("echo between {} and {}", back, out);
  return fmt::format("echo between {} and {} by way of {}", back, out, mirrors_[path.third].name);
}

}  // namespace strandbook
