#include "trace_forward.hpp"

#include <algorithm>
#include <cmath>

namespace forward {
namespace {

constexpr double speed = 299792458.0;
constexpr double pi = 3.14159265358979323846;
constexpr double start_level_db = 30;  // of the first backscatter below the reference

double linear(double oneway_db) { return std::pow(10, oneway_db / 5); }

std::uint64_t mixed(std::uint64_t z) {
  z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9ULL;
  z = (z ^ (z >> 27)) * 0x94D049BB133111EBULL;
  return z ^ (z >> 31);
}

struct Reflection {
  double at_m;
  double reflectance;
  double through;  // optical transmission one way up to it
};

// What is drawn on the fine grid.
struct Grid {
  double step_m;
  std::vector<double> power;
};

// A rectangle from `at` to `at + width`, edges shared between cells.
void add_rectangle(Grid& grid, double at, double width, double height) {
  const double from = at / grid.step_m;
  const double to = (at + width) / grid.step_m;
  const auto first = static_cast<std::ptrdiff_t>(std::floor(from));
  const auto last = static_cast<std::ptrdiff_t>(std::floor(to));
  for (std::ptrdiff_t k = first; k <= last; ++k) {
    if (k < 0 || k >= static_cast<std::ptrdiff_t>(grid.power.size())) continue;
    const double share = std::min(to, static_cast<double>(k) + 1) - std::max(from, static_cast<double>(k));
    grid.power[static_cast<std::size_t>(k)] += height * std::max(0.0, share);
  }
}

// Backscatter of each cell over the pulse: mean of the density over the last `width`.
void smear(std::vector<double>& values, double width_cells) {
  std::vector<double> sum(values.size() + 1);
  for (std::size_t i = 0; i < values.size(); ++i) sum[i + 1] = sum[i] + values[i];
  const auto at = [&](double x) {
    if (x <= 0) return 0.0;
    const auto i = std::min(static_cast<std::size_t>(x), values.size() - 1);
    return sum[i] + (x - static_cast<double>(i)) * values[i];
  };
  for (std::size_t i = values.size(); i-- > 0;) {
    const double end = static_cast<double>(i) + 1;
    values[i] = (at(end) - at(end - width_cells)) / width_cells;
  }
}

void centred_box(std::vector<double>& values, int half) {
  if (half < 1) return;
  std::vector<double> sum(values.size() + 1);
  for (std::size_t i = 0; i < values.size(); ++i) sum[i + 1] = sum[i] + values[i];
  const auto n = static_cast<std::ptrdiff_t>(values.size());
  for (std::ptrdiff_t i = 0; i < n; ++i) {
    const std::ptrdiff_t from = std::max<std::ptrdiff_t>(0, i - half);
    const std::ptrdiff_t to = std::min(n, i + half + 1);
    values[static_cast<std::size_t>(i)] =
        (sum[static_cast<std::size_t>(to)] - sum[static_cast<std::size_t>(from)]) /
        static_cast<double>(to - from);
  }
}

// One pole of time constant `cells`.
std::vector<double> pole(const std::vector<double>& in, double cells) {
  const double keep = std::exp(-1 / cells);
  std::vector<double> out(in.size());
  double state = in.empty() ? 0 : 0.0;
  for (std::size_t i = 0; i < in.size(); ++i) out[i] = state = keep * state + (1 - keep) * in[i];
  return out;
}

struct Layout {
  std::vector<Reflection> reflections;  // the panel first
  std::vector<double> joint_m;
  std::vector<double> before;  // optical transmission just before each joint
};

Layout lay_out(const Link& link) {
  Layout out;
  double z = 0, t = 1;
  out.reflections.push_back({0, link.panel_reflectance, 1});
  for (std::size_t i = 0; i < link.fibres.size(); ++i) {
    z += link.fibres[i].length_m;
    t *= std::pow(10, -link.fibres[i].alpha_db_km * link.fibres[i].length_m * 1e-4);
    out.joint_m.push_back(z);
    out.before.push_back(t);
    if (link.joints[i].reflectance > 0) out.reflections.push_back({z, link.joints[i].reflectance, t});
    t *= std::pow(10, -link.joints[i].loss_db / 10);
  }
  return out;
}

// Scattered light per cell, relative to the first; index of fibre of each cell is walked along.
double fill_backscatter(Grid& grid, const Link& link, double pulse_m, double fading, Dice& dice) {
  double z0 = 0, t = 1;
  double returned = 0;  // in units of the first backscatter over one pulse
  std::size_t k = 0;
  const double spread = fading > 0 ? fading * std::sqrt(pulse_m / grid.step_m) : 0;
  for (std::size_t i = 0; i < link.fibres.size(); ++i) {
    const Fibre& f = link.fibres[i];
    const double share = std::pow(10, (f.backscatter_db - link.fibres[0].backscatter_db) / 10);
    const double slope = 2 * (f.alpha_db_km + f.drift_db_km) * 1e-3 * std::log(10) / 10;
    const double end = z0 + f.length_m;
    const double level = share * t * t;
    const double decay = std::exp(-slope * grid.step_m);
    double value = level * std::exp(-slope * ((static_cast<double>(k) + 0.5) * grid.step_m - z0));
    for (; k < grid.power.size() && (static_cast<double>(k) + 0.5) * grid.step_m < end; ++k) {
      const double noise = spread > 0 ? std::max(0.0, 1 + spread * dice.normal()) : 1;
      grid.power[k] = value * noise;
      value *= decay;
    }
    returned += level * (1 - std::exp(-slope * f.length_m)) / slope / pulse_m;
    t *= std::pow(10, -f.alpha_db_km * f.length_m * 1e-4 - link.joints[i].loss_db / 10);
    z0 = end;
  }
  return returned;
}

// Echoes: there to j, back to i, there to k, back. Every path that rises above the noise.
std::vector<double> add_ghosts(Grid& grid, const Layout& lay, double pulse_m, double unit, double noise) {
  std::vector<double> seen;
  const auto& r = lay.reflections;
  for (std::size_t i = 0; i < r.size(); ++i)
    for (std::size_t j = i + 1; j < r.size(); ++j)
      for (std::size_t k = i + 1; k < r.size(); ++k) {
        const double weight = r[i].reflectance * r[j].reflectance * r[k].reflectance *
                              std::pow(r[j].through * r[k].through / r[i].through, 2) / unit;
        const double at = r[j].at_m - r[i].at_m + r[k].at_m;
        if (weight < 0.1 * noise) continue;
        add_rectangle(grid, at, pulse_m, weight);
        if (weight > noise) seen.push_back(at);
      }
  std::sort(seen.begin(), seen.end());
  seen.erase(std::unique(seen.begin(), seen.end()), seen.end());
  return seen;
}

void clip_top(std::vector<double>& power, double most, double recovery_cells) {
  double hold = 0;
  for (double& p : power) {
    if (p >= most) {
      p = most;
      hold = recovery_cells;
    } else if (hold > 0) {
      p = most;
      hold -= 1;
    }
  }
}

// Variance of a line's value at `at`, fitted over [from, to] with the weight of each stretch; slope free or
// known.
double line_variance(double from, double to, double at, bool free_slope, const std::vector<double>& weight,
                     double cell) {
  double s0 = 0, s1 = 0, s2 = 0;
  const auto first = static_cast<std::size_t>(std::max(0.0, from / cell));
  const auto last = std::min(static_cast<std::size_t>(std::max(0.0, to / cell)), weight.size());
  for (std::size_t i = first; i < last; ++i) {
    const double z = (static_cast<double>(i) + 0.5) * cell - at;
    s0 += weight[i] * cell;
    s1 += weight[i] * cell * z;
    s2 += weight[i] * cell * z * z;
  }
  if (s0 <= 0) return 1e9;
  if (!free_slope) return 1 / s0;
  const double det = s0 * s2 - s1 * s1;
  return det > 0 ? s2 / det : 1e9;
}

}  // namespace

// The first state is mixed too: otherwise neighbouring seeds would draw the same numbers, one place apart.
Dice::Dice(std::uint64_t seed) : state_(mixed(seed + 0x1234567)) {}

std::uint64_t Dice::bits() { return mixed(state_ += 0x9E3779B97F4A7C15ULL); }

double Dice::uniform(double from, double to) {
  return from + (to - from) * static_cast<double>(bits() >> 11) * 0x1.0p-53;
}

double Dice::log_uniform(double from, double to) { return from * std::pow(to / from, uniform(0, 1)); }

double Dice::normal() {
  if (has_spare_) {
    has_spare_ = false;
    return spare_;
  }
  const double radius = std::sqrt(-2 * std::log(1 - uniform(0, 1)));
  const double angle = 2 * pi * uniform(0, 1);
  spare_ = radius * std::sin(angle);
  has_spare_ = true;
  return radius * std::cos(angle);
}

Link reversed(const Link& link) {
  Link out = link;
  std::reverse(out.fibres.begin(), out.fibres.end());
  // Joints between fibres turn with them; the ends stay ends.
  const std::size_t n = link.joints.size();
  for (std::size_t i = 0; i + 1 < n; ++i) out.joints[i] = link.joints[n - 2 - i];
  for (Fibre& f : out.fibres) {
    f.backscatter_db -= 2 * f.drift_db_km * f.length_m * 1e-3;
    f.drift_db_km = -f.drift_db_km;
  }
  return out;
}

Made make(const Link& link, const Instrument& in, Dice& dice) {
  Made made;
  const double v = speed / link.index;
  const double w = v * in.pulse_ns * 1e-9 / 2;
  made.pulse_m = w;
  const int fine = std::max(4, static_cast<int>(std::ceil(16 * in.step_m / w)));
  const auto count = static_cast<std::size_t>(in.range_m / in.step_m);
  const double noise = linear(-in.dynamic_range_db);
  const double unit = std::pow(10, link.fibres[0].backscatter_db / 10) * in.pulse_ns;
  Grid grid{in.step_m / fine, {}};
  const Layout lay = lay_out(link);
  grid.power.assign(count * static_cast<std::size_t>(fine), 0);
  const double returned = fill_backscatter(grid, link, w, in.noiseless ? 0 : in.fading, dice);
  smear(grid.power, w / grid.step_m);
  double back = returned * unit;
  for (const Reflection& r : lay.reflections) {
    add_rectangle(grid, r.at_m, w, r.reflectance * r.through * r.through / unit);
    if (r.at_m > 0) back += r.reflectance * r.through * r.through;
  }
  made.return_loss_db = -10 * std::log10(back);
  made.ghosts_m = add_ghosts(grid, lay, w, unit, noise);
  const double rise_cells = std::max(in.rise_share * in.pulse_ns, 1.0) * 1e-9 * v / 2 / grid.step_m / 2.56;
  for (int pass = 0; pass < 3; ++pass) centred_box(grid.power, static_cast<int>(std::lround(rise_cells)));
  const double cells_per_second = v / 2 / grid.step_m;
  clip_top(grid.power, linear(in.saturation_db), in.recovery_ns * 1e-9 * cells_per_second);
  const double pole_s = 1 / (2 * pi * in.bandwidth_hz);
  std::vector<double> seen = pole(grid.power, pole_s * cells_per_second);
  double direct = 1;
  std::vector<double> sum(seen.size());
  for (int i = 0; i < 2; ++i) {
    if (in.tail_share[i] <= 0) continue;
    direct -= in.tail_share[i];
    const std::vector<double> tail = pole(seen, in.tail_ns[i] * 1e-9 * cells_per_second);
    for (std::size_t k = 0; k < seen.size(); ++k) sum[k] += in.tail_share[i] * tail[k];
  }
  for (std::size_t k = 0; k < seen.size(); ++k) sum[k] += direct * seen[k];

  const double phi = std::exp(-in.step_m / (v / 2 * pole_s));
  double state = dice.normal();
  const double offset = in.noiseless ? 0 : in.baseline_sd * noise;
  const double phase = dice.uniform(0, 2 * pi);
  made.samples.resize(count);
  for (std::size_t k = 0; k < count; ++k) {
    // A sample at k·step stands for the light up to it: the last fine cell before it.
    const std::size_t cell = k * static_cast<std::size_t>(fine);
    double p = cell == 0 ? sum[0] : 0.5 * (sum[cell - 1] + sum[cell]);
    if (in.wrap_m > 0) {
      for (double z = static_cast<double>(k) * in.step_m + in.wrap_m; z < in.range_m; z += in.wrap_m)
        p += sum[static_cast<std::size_t>(z / grid.step_m)];
    }
    if (!in.noiseless) {
      state = phi * state + std::sqrt(1 - phi * phi) * dice.normal();
      p += noise * state + offset +
           in.wander_sd * noise *
               std::sin(phase + 6 * pi * static_cast<double>(k) / static_cast<double>(count));
    }
    const double least = linear(-in.dynamic_range_db - 12);
    if (in.clip_mode == 1) p = std::abs(p);
    if (in.clip_mode == 2 && p < least) p = noise * 0.1;
    p = std::max(p, least);
    const double level = start_level_db - 5 * std::log10(p);
    made.samples[k] = static_cast<std::uint16_t>(std::clamp(std::lround(level * 1000), 0L, 65535L));
  }

  // Truth.
  const double tail_m = v / 2 * pole_s;
  const double gap = w + 3 * tail_m;
  const double noise_length = std::max(in.step_m, 2 * tail_m);
  const double cell = std::max(in.step_m, lay.joint_m.back() / 4000);
  std::vector<double> weight;  // information per metre on the level in dB
  {
    std::size_t i = 0;
    double t = 1, z0 = 0;
    for (double z = cell / 2; z < lay.joint_m.back(); z += cell) {
      while (i + 1 < link.fibres.size() && z > lay.joint_m[i]) {
        t = lay.before[i] * std::pow(10, -link.joints[i].loss_db / 10);
        z0 = lay.joint_m[i++];
      }
      const double p = std::pow(10, (link.fibres[i].backscatter_db - link.fibres[0].backscatter_db) / 10) *
                       t * t * std::pow(10, -2 * link.fibres[i].alpha_db_km * (z - z0) * 1e-4);
      const double sigma = 2.1715 * noise / p;
      const double fade = 2.1715 * in.fading;
      weight.push_back(1 / (sigma * sigma * noise_length + fade * fade * w));
    }
  }
  for (std::size_t i = 0; i < link.joints.size(); ++i) {
    const Joint& joint = link.joints[i];
    const bool last = i + 1 == link.joints.size();
    TruthEvent e;
    e.at_m = lay.joint_m[i];
    e.kind = last ? Kind::end : joint.kind;
    e.true_loss_db = joint.loss_db;
    const double here = std::pow(10, (link.fibres[i].backscatter_db - link.fibres[0].backscatter_db) / 10) *
                        lay.before[i] * lay.before[i] *
                        std::pow(10, -2e-4 * link.fibres[i].drift_db_km * link.fibres[i].length_m);
    e.noise_db = 2.1715 * noise / here;
    if (joint.reflectance > 0) {
      e.reflectance_db = 10 * std::log10(joint.reflectance);
      const double h = joint.reflectance * lay.before[i] * lay.before[i] / unit / here;
      e.peak_db = 5 * std::log10(1 + h);
      e.peak_sigmas = h * here / std::sqrt(noise * noise + std::pow(in.fading * here, 2));
      e.saturated = (1 + h) * here > linear(in.saturation_db);
      e.dead_zone_m = w + tail_m * std::log(std::max(1.2, h / 0.26));
      if (e.saturated) e.dead_zone_m += v / 2 * in.recovery_ns * 1e-9;
      // A slow tail of the detector keeps the trace up for longer.
      const double peak = std::min((1 + h) * here, linear(in.saturation_db)) / here;
      for (int n = 0; n < 2; ++n) {
        const double left = in.tail_share[n] * peak * std::min(1.0, in.pulse_ns / in.tail_ns[n]);
        if (left > 0.02)
          e.dead_zone_m = std::max(e.dead_zone_m, w + v / 2 * in.tail_ns[n] * 1e-9 * std::log(left / 0.01));
      }
    } else {
      e.dead_zone_m = gap;
    }
    if (!last) {
      e.shown_loss_db = joint.loss_db +
                        (link.fibres[i].backscatter_db - link.fibres[i + 1].backscatter_db) / 2 -
                        link.fibres[i].drift_db_km * link.fibres[i].length_m * 1e-3;
      const double previous = i == 0 ? gap
                              : made.events.empty()
                                  ? gap
                                  : made.events.back().at_m + std::max(gap, made.events.back().dead_zone_m);
      const double behind = e.at_m + std::max(gap, e.dead_zone_m);
      const double middle = e.at_m + (behind - e.at_m) / 2;
      const double next = lay.joint_m[i + 1];
      for (const bool free : {true, false}) {
        const double variance = line_variance(previous, e.at_m, middle, free, weight, cell) +
                                line_variance(behind, next, middle, free, weight, cell);
        (free ? e.bound_db : e.bound_known_db) = std::sqrt(variance);
      }
      e.strength = std::abs(e.shown_loss_db) / e.bound_db;
      const double density = e.noise_db * e.noise_db * noise_length + std::pow(2.1715 * in.fading, 2) * w;
      const double step = std::max(std::abs(e.shown_loss_db), 1e-3);
      e.place_bound_m = std::max(std::sqrt(density * w) / step, 5.1 * density / (step * step));
    }
    made.events.push_back(e);
  }
  made.end_m = lay.joint_m.back();
  made.end_in_range = made.events.back().noise_db < 0.7 || made.events.back().peak_sigmas > 8;
  return made;
}

}  // namespace forward
