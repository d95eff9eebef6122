#include "domain/applications/link_model.hpp"

#include <algorithm>
#include <cmath>

#include "domain/applications/attenuation_shape.hpp"
#include "domain/applications/link_arithmetic.hpp"

namespace strandbook {
namespace {

/// −10 log10 of what is left open; subtracted from 0, for −10 times log10(1) would be −0.
double closing_db(double opening) { return opening > 0 ? 0 - 10 * std::log10(opening) : infinity; }
/// −10 log10 √(1 − share): what a noise of this variance costs.
double noise_db(double share) { return share < 1 ? 0 - 5 * std::log10(1 - share) : infinity; }
/// `whole` less what it already holds; stays infinite where the eye is closed.
double beyond(double whole, double held) { return std::isinf(whole) ? infinity : whole - held; }

struct Fibre {
  double dispersion;
  double chromatic_mhz;
  double modal_mhz;
};

Fibre fibre_of(const LinkModelInputs& in, double km) {
  const double d1 = dispersion_ps_nm_km({in.wavelength_nm}, {in.zero_dispersion_nm}, in.dispersion_slope);
  const double d2 = in.width_slope_share * in.dispersion_slope * in.rms_width_nm;
  const double d = std::sqrt(squared(d1) + squared(d2));
  return {d1, in.chromatic_bandwidth_mhz_ps / (in.rms_width_nm * d * km), in.modal_bandwidth_mhz_km / km};
}

struct Rises {
  double fibre_exit;
  double receiver;
  double receiver_exit;
};

Rises rises_of(const LinkModelInputs& in, const Fibre& fibre) {
  const double source = in.source_rise_ratio * in.source_rise_20_80_ps;
  const double chromatic = in.fibre_rise_mhz_ps / fibre.chromatic_mhz;
  const double modal = in.fibre_rise_mhz_ps / fibre.modal_mhz;
  const double exit = std::sqrt(squared(source) + squared(chromatic) + squared(modal));
  const double receiver = in.receiver_rise_mhz_ps / in.receiver_bandwidth_mhz;
  return {exit, receiver, std::sqrt(squared(exit) + squared(receiver))};
}

double sharpness_of(const LinkModelInputs& in, double bit_ps, double rise_ps) {
  return in.eye_sharpness * bit_ps / (std::sqrt(8.0) * rise_ps);
}

/// (9): the share of the eye that reflections leave.
double left_by_reflections(const LinkModelInputs& in, double eye, double channel_loss_db) {
  if (in.reflection_count == 0) return 1;
  const double extinction = std::pow(10, in.extinction_ratio_db / 10);
  const double both = std::pow(10, (in.transmitter_reflectance_db + in.receiver_reflectance_db) / 20);
  const double spread = std::sqrt(2 * extinction * (eye * (extinction - 1) + extinction + 1));
  return 1 - 2 * in.reflection_count * std::pow(10, -channel_loss_db / 10) * both * spread /
                 (eye * (extinction - 1));
}

/// (10): standard deviation of mode partition noise as a share of the signal.
double mode_partition_of(const LinkModelInputs& in, const BitTiming& bit, double dispersion, double km) {
  const double beta =
      in.mode_partition_pi * 1e-6 * bit.effective_rate_mbd * dispersion * km * in.rms_width_nm;
  return in.mode_partition_k / std::sqrt(2.0) * (1 - std::exp(-squared(beta)));
}

/// (11): variance of the relative intensity noise.
double intensity_variance(const LinkModelInputs& in, const Fibre& fibre) {
  const double widths = 1 / squared(fibre.chromatic_mhz) + 1 / squared(fibre.modal_mhz) +
                        in.rin_receiver_share / squared(in.receiver_bandwidth_mhz);
  return in.rin_bandwidth_factor * 1e6 * std::pow(10, in.rin_db_per_hz / 10) / std::sqrt(widths);
}

/// (8): penalties of shape; the eye with the residual jitter comes back for the noises.
double add_shape(LinkModelResult& result, double sharpness, const BitTiming& bit) {
  const double with_jitter = eye_opening(sharpness, bit.jitter_ui);
  result.isi = {closing_db(eye_opening(sharpness, 0))};
  result.jitter = {beyond(closing_db(with_jitter), result.isi.value)};
  result.corner = {beyond(closing_db(eye_opening(sharpness, bit.window_ui)), result.isi.value)};
  return with_jitter;
}

/// (10) to (14).
void add_noises(LinkModelResult& result, const LinkModelInputs& in, const Fibre& fibre, const BitTiming& bit,
                double receiver_rise, double with_jitter, double km) {
  const double left = with_jitter > 0 ? left_by_reflections(in, with_jitter, result.channel_loss.value) : 0;
  result.reflection = {closing_db(left)};
  const double eye = with_jitter > 0 && left > 0 ? with_jitter * left : 0;
  const double q2 = squared(in.quality);
  const double partition = mode_partition_of(in, bit, fibre.dispersion, km);
  const double intensity = intensity_variance(in, fibre);
  const double modal = (1 - std::pow(10, -in.modal_noise_db / 5)) / q2;
  const double receiver_eye = eye_opening(sharpness_of(in, bit.bit_ps, receiver_rise), bit.window_ui);
  const double wander = squared(in.baseline_wander);
  result.mode_partition = {noise_db(q2 * squared(partition))};
  result.relative_intensity = {noise_db(q2 * intensity / squared(eye))};
  result.modal_noise = {in.modal_noise_db};
  result.baseline_wander = {noise_db(q2 * wander / squared(receiver_eye))};
  const double together = q2 * ((wander + intensity) / squared(eye) + modal + squared(partition));
  const double apart = result.baseline_wander.value + result.isi.value + result.jitter.value +
                       result.mode_partition.value + result.reflection.value +
                       result.relative_intensity.value + result.modal_noise.value;
  result.interaction = {beyond(closing_db(eye) + noise_db(together), apart)};
}

/// (15) and (16).
void add_totals(LinkModelResult& result, const LinkModelInputs& in, Decibels connections) {
  const Decibels sum = result.isi + result.jitter + result.mode_partition + result.reflection +
                       result.relative_intensity + result.interaction + result.modal_noise;
  result.penalties = sum;
  result.total = sum + result.fibre_loss;
  result.budget = PowerDbm{in.transmit_dbm} - PowerDbm{in.sensitivity_dbm};
  result.margin = result.budget - connections - result.total;
}

LinkModelResult terms_at(const LinkModelInputs& in, Metres length, Decibels connections) {
  const double km = length.value / 1000;
  const Fibre fibre = fibre_of(in, km);
  const Rises rises = rises_of(in, fibre);
  const BitTiming bit = bit_timing(in);
  LinkModelResult result;
  result.attenuation = model_attenuation(in);
  result.fibre_loss = result.attenuation * length;
  result.channel_loss = result.fibre_loss + connections;
  result.dispersion_ps_nm_km = fibre.dispersion;
  result.chromatic_bandwidth_mhz = fibre.chromatic_mhz;
  result.modal_bandwidth_mhz = fibre.modal_mhz;
  result.fibre_exit_rise_ps = rises.fibre_exit;
  result.receiver_exit_rise_ps = rises.receiver_exit;
  const double eye = add_shape(result, sharpness_of(in, bit.bit_ps, rises.receiver_exit), bit);
  add_noises(result, in, fibre, bit, rises.receiver, eye, km);
  add_totals(result, in, connections);
  return result;
}

}  // namespace

DecibelsPerKilometre model_attenuation(const LinkModelInputs& in) {
  const double scale = in.attenuation_db_per_km / in.attenuation_normaliser;
  return {scale * AttenuationShape{in.attenuation_floor, in.attenuation_per_nm}.at({in.wavelength_nm})};
}

Decibels channel_loss(const LinkModelInputs& inputs, Metres length, Decibels connections) {
  return model_attenuation(inputs) * length + connections;
}

double dispersion_ps_nm_km(Nanometres wavelength, Nanometres zero_dispersion, double slope) {
  return slope / 4 * wavelength.value * (1 - std::pow(zero_dispersion.value / wavelength.value, 4));
}

double modal_bandwidth_from_dgd(double dgd_max_ps, Metres length) {
  return 1e6 * (length.value / 1000) / (3 * dgd_max_ps);
}

BitTiming bit_timing(const LinkModelInputs& in) {
  const double effective = 1 / (1 / in.rate_mbd - in.duty_cycle_distortion_ps * 1e-6);
  const double residual = in.deterministic_jitter_ps - in.duty_cycle_distortion_ps;
  return {effective, 1e6 / effective, residual * effective * 1e-6,
          2 * (0.5 - in.window_edge_ui) * effective / in.rate_mbd};
}

double eye_opening(double sharpness, double offset_ui) {
  const auto edge = [](double at) { return std::erf(std::clamp(at, -10.0, 10.0)); };
  return edge(sharpness * (1 + offset_ui)) + edge(sharpness * (1 - offset_ui)) - 1;
}

LinkModelResult evaluate(const LinkModelInputs& inputs, Metres length, Decibels connections) {
  LinkModelResult result = terms_at(inputs, length, connections);
  const Decibels at_target = terms_at(inputs, {inputs.target_length_m}, connections).margin;
  if (std::isinf(result.margin.value) || std::isinf(at_target.value)) return result;
  const Decibels stress = result.mode_partition + result.reflection + result.relative_intensity +
                          result.interaction / 2 + result.modal_noise;
  result.stressed_sensitivity = PowerDbm{inputs.transmit_dbm} - result.channel_loss - stress - at_target;
  return result;
}

}  // namespace strandbook
