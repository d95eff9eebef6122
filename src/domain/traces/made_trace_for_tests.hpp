#pragma once
// Small traces made for tests, each with the trouble that its test is named for.

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <vector>

#include "domain/traces/trace_analysis.hpp"

namespace strandbook::made_trace {

inline constexpr double made_index = 1.468;
inline constexpr double step_m = 0.5;
inline constexpr double pulse_ns = 30;
inline constexpr double backscatter_db = -80;
inline constexpr double fibre_db_km = 0.35;

/// Box–Muller on a linear congruence: the same noise everywhere.
class MadeNoise {
 public:
  explicit MadeNoise(std::uint64_t seed) : state_(seed * 0x9E3779B97F4A7C15ULL + 11) {}
  double operator()() { return std::sqrt(-2 * std::log(1 - even())) * std::cos(6.283185307179586 * even()); }

 private:
  double even() {
    state_ = state_ * 6364136223846793005ULL + 1442695040888963407ULL;
    return static_cast<double>(state_ >> 11) * 0x1.0p-53;
  }
  std::uint64_t state_;
};

struct MadeJoint {
  double at_m;
  double loss_db;
  double reflectance_db = -99;
};

struct MadePlant {
  std::vector<MadeJoint> joints;
  double end_m = 3000;
  double end_reflectance_db = -40;
  double tail_share = 0;  ///< of all light, falling over `tail_m`
  double tail_m = 20;
  double full_db = 99;  ///< above the first backscatter the receiver is full
  double range_db = 17;
  std::uint64_t seed = 1;
};

/// Light on a grid of samples: pulse, full receiver, one pole, tail, noise.
inline Trace trace_of(const MadePlant& plant) {
  const double pulse_m = shown_pulse_m(pulse_ns, {made_index});
  const auto count = static_cast<std::size_t>(plant.end_m * 1.4 / step_m);
  const double unit = std::pow(10, backscatter_db / 10) * pulse_ns;
  MadeNoise noise(plant.seed);
  Trace trace;
  trace.settings = {{1310}, pulse_ns, {made_index}, Decibels{backscatter_db}, {}, {}, 0, 0};
  trace.step = {step_m};
  double pole = 0;
  double tail = 0;
  for (std::size_t k = 0; k < count; ++k) {
    const double z = static_cast<double>(k) * step_m;
    double lost = fibre_db_km * z / 1000;
    double light = 0;
    const auto shine = [&](double at, double reflectance_db) {
      if (z > at && z <= at + pulse_m)
        light += std::pow(10, reflectance_db / 10) / unit * std::pow(10, -lost / 5);
    };
    shine(0, -35);
    for (const MadeJoint& joint : plant.joints) {
      shine(joint.at_m, joint.reflectance_db);
      lost += joint.loss_db * std::clamp((z - joint.at_m) / pulse_m, 0.0, 1.0);
    }
    shine(plant.end_m, plant.end_reflectance_db);
    light += std::pow(10, -lost / 5) * (1 - std::clamp((z - plant.end_m) / pulse_m, 0.0, 1.0));
    light = std::min(light, std::pow(10, plant.full_db / 5));
    pole += (1 - std::exp(-step_m / 1.2)) * (light - pole);
    tail += (1 - std::exp(-step_m / plant.tail_m)) * (pole - tail);
    const double seen = (1 - plant.tail_share) * pole + plant.tail_share * tail;
    const double level = 5 * std::log10(std::max(seen + std::pow(10, -plant.range_db / 5) * noise(), 1e-6));
    trace.level_db.push_back(std::round(level * 1000) / 1000);
  }
  trace.floor_db = -29;
  return trace;
}

inline std::vector<TraceEvent> on_the_fibre(const TraceAnalysis& found) {
  std::vector<TraceEvent> events;
  for (const TraceEvent& event : found.events)
    if (event.kind != EventKind::ghost) events.push_back(event);
  return events;
}

}  // namespace strandbook::made_trace
