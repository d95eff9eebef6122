#include "domain/applications/link_margin.hpp"

#include <cassert>
#include <cmath>

#include "domain/applications/link_arithmetic.hpp"

namespace strandbook {
namespace {

constexpr int scan_steps = 1000;
constexpr int halvings = 60;

/// Largest x in 0 to `top` where `margin` is 0 or more, given that it is below 0 beyond `top`.
template <class Margin>
std::optional<double> largest_holding(const Margin& margin, double top) {
  if (!(top >= 0)) return std::nullopt;
  int step = scan_steps;
  while (step >= 0 && !(margin(top * step / scan_steps) >= 0)) --step;
  if (step < 0) return std::nullopt;
  double holds = top * step / scan_steps;
  double fails = top * (step + 1) / scan_steps;
  for (int i = 0; i < halvings; ++i) {
    const double middle = holds + (fails - holds) / 2;
    (margin(middle) >= 0 ? holds : fails) = middle;
  }
  return holds;
}

}  // namespace

LinkMargin::LinkMargin(const LinkModelInputs& in) {
  const BitTiming bit = bit_timing(in);
  const double d1 = dispersion_ps_nm_km({in.wavelength_nm}, {in.zero_dispersion_nm}, in.dispersion_slope);
  const double d = std::hypot(d1, in.width_slope_share * in.dispersion_slope * in.rms_width_nm);
  const double chromatic = in.chromatic_bandwidth_mhz_ps / (in.rms_width_nm * d);
  const double receiver_rise = in.receiver_rise_mhz_ps / in.receiver_bandwidth_mhz;
  const double extinction = std::pow(10, in.extinction_ratio_db / 10);
  const double q2 = squared(in.quality);

  attenuation_ = model_attenuation(in).value;
  fixed_rise2_ = squared(in.source_rise_ratio * in.source_rise_20_80_ps) + squared(receiver_rise);
  intensity_fibre_ = 1 / squared(chromatic) + 1 / squared(in.modal_bandwidth_mhz_km);
  fibre_rise2_ = squared(in.fibre_rise_mhz_ps) * intensity_fibre_;
  sharpness_ps_ = in.eye_sharpness * bit.bit_ps / std::sqrt(8.0);
  jitter_ = bit.jitter_ui;
  reflected_ = 2 * in.reflection_count *
               std::pow(10, (in.transmitter_reflectance_db + in.receiver_reflectance_db) / 20) *
               std::sqrt(2 * extinction) / (extinction - 1);
  extinction_ = extinction;
  partition_ = in.quality * in.mode_partition_k / std::sqrt(2.0);
  partition_beta2_ = squared(in.mode_partition_pi * 1e-6 * bit.effective_rate_mbd * d1 * in.rms_width_nm);
  modal_share_ = 1 - std::pow(10, -in.modal_noise_db / 5);
  wander_share_ = q2 * squared(in.baseline_wander);
  intensity_ = q2 * in.rin_bandwidth_factor * 1e6 * std::pow(10, in.rin_db_per_hz / 10);
  intensity_receiver_ = in.rin_receiver_share / squared(in.receiver_bandwidth_mhz);
  const double receiver_eye = eye_opening(sharpness_ps_ / receiver_rise, bit.window_ui);
  budget_ = in.transmit_dbm - in.sensitivity_dbm - 5 * std::log10(1 - wander_share_ / squared(receiver_eye));
}

double LinkMargin::eye_left(double sharpness, double channel_loss_db) const {
  const double eye =
      jitter_ == 0 ? 2 * std::erf(std::fmin(sharpness, 10)) - 1 : eye_opening(sharpness, jitter_);
  if (reflected_ == 0 || eye <= 0) return eye;
  const double spread = std::sqrt(eye * (extinction_ - 1) + extinction_ + 1);
  return eye - reflected_ * std::pow(10, -channel_loss_db / 10) * spread;
}

double LinkMargin::margin_db(double km, double connections_db) const {
  const double km2 = squared(km);
  const double loss = attenuation_ * km + connections_db;
  const double sharpness = sharpness_ps_ / std::sqrt(fixed_rise2_ + fibre_rise2_ * km2);
  const double eye = eye_left(sharpness, loss);
  if (!(eye > 0)) return -infinity;
  double partition = 0;
  if (partition_ != 0) partition = partition_ * (1 - std::exp(-partition_beta2_ * km2));
  const double intensity = intensity_ / std::sqrt(intensity_fibre_ * km2 + intensity_receiver_);
  const double open2 = squared(eye) * (1 - modal_share_ - squared(partition)) - wander_share_ - intensity;
  if (!(open2 > 0)) return -infinity;
  return budget_ - loss + 5 * std::log10(open2);
}

Decibels LinkMargin::at(Metres length, Decibels connections) const {
  return {margin_db(length.value / 1000, connections.value)};
}

void LinkMargin::at_each(std::span<const double> lengths_m, std::span<const double> connections_db,
                         std::span<double> margins_db) const {
  assert(lengths_m.size() == connections_db.size() && lengths_m.size() == margins_db.size());
  for (std::size_t i = 0; i < lengths_m.size(); ++i)
    margins_db[i] = margin_db(lengths_m[i] / 1000, connections_db[i]);
}

// No opening exceeds 1, so beyond budget / attenuation the loss alone uses the budget up.
std::optional<Metres> LinkMargin::reach(Decibels connections) const {
  const double top = (budget_ - connections.value) / attenuation_;
  const auto km = largest_holding([&](double x) { return margin_db(x, connections.value); }, top);
  return km ? std::optional(Metres{*km * 1000}) : std::nullopt;
}

std::optional<Decibels> LinkMargin::most_connections(Metres length) const {
  const double km = length.value / 1000;
  const auto db = largest_holding([&](double x) { return margin_db(km, x); }, budget_ - attenuation_ * km);
  return db ? std::optional(Decibels{*db}) : std::nullopt;
}

std::vector<LinkCurvePoint> link_curve(const LinkModelInputs& inputs, Decibels connections, Metres longest,
                                       std::size_t points) {
  assert(points >= 2);
  std::vector<LinkCurvePoint> curve;
  curve.reserve(points);
  for (std::size_t i = 0; i < points; ++i) {
    const Metres length{longest.value * static_cast<double>(i) / static_cast<double>(points - 1)};
    const LinkModelResult result = evaluate(inputs, length, connections);
    curve.push_back({length, result.fibre_loss, result.penalties, result.margin});
  }
  return curve;
}

}  // namespace strandbook
