#pragma once
// The public optical link model of IEEE 802.3z and 802.3ae: what two-level (NRZ) light loses in eye opening
// and in noise on its way, and what margin is left. No forward error correction, no equaliser. The equations
// are numbered as in docs/link-model.md; every number they need is an input with a source
// (rules/ieee-802.3-link-model).

#include <optional>

#include "domain/units/units.hpp"

namespace strandbook {

/// Inputs in the units of their names; rises are 10 to 90 % unless said. What they mean in words, with unit
/// and range, is in link_model_fields().
struct LinkModelInputs {
  // What the formulas themselves hold.
  double attenuation_floor = 0;           ///< (1)
  double attenuation_per_nm = 0;          ///< (1)
  double width_slope_share = 0;           ///< (2)
  double chromatic_bandwidth_mhz_ps = 0;  ///< (3)
  double fibre_rise_mhz_ps = 0;           ///< (5)
  double receiver_rise_mhz_ps = 0;        ///< (5)
  double source_rise_ratio = 0;           ///< (5) 10-90 % to 20-80 %
  double eye_sharpness = 0;               ///< (7) 2.563 in k = 2.563 Tb/(√8 Tc)
  double mode_partition_pi = 0;           ///< (10)
  double rin_bandwidth_factor = 0;        ///< (11)
  double rin_receiver_share = 0;          ///< (11)
  double quality = 0;                     ///< Q at the error ratio wanted
  double window_edge_ui = 0;              ///< (6) X2 of the eye mask
  // Transmitter and receiver.
  double rate_mbd = 0;
  double wavelength_nm = 0;  ///< the worst of the range
  double rms_width_nm = 0;
  double transmit_dbm = 0;     ///< as optical modulation amplitude at 10 Gb/s, as average power at 1 Gb/s
  double sensitivity_dbm = 0;  ///< in the same sense as transmit_dbm
  double source_rise_20_80_ps = 0;
  double extinction_ratio_db = 0;
  double rin_db_per_hz = 0;
  double mode_partition_k = 0;
  double transmitter_reflectance_db = 0;
  double receiver_reflectance_db = 0;
  double reflection_count = 0;  ///< n of (9); 0 over multimode fibre
  double receiver_bandwidth_mhz = 0;
  double deterministic_jitter_ps = 0;
  double duty_cycle_distortion_ps = 0;
  double baseline_wander = 0;  ///< σ as a share of the eye
  double modal_noise_db = 0;
  // Fibre.
  double attenuation_db_per_km = 0;  ///< cabled, at attenuation_at_nm
  double attenuation_at_nm = 0;
  double attenuation_normaliser =
      0;  ///< what (1) yields at attenuation_at_nm for C = 1, as the workbook rounds it
  double zero_dispersion_nm = 0;      ///< U0
  double dispersion_slope = 0;        ///< S0, ps/(nm²·km)
  double modal_bandwidth_mhz_km = 0;  ///< multimode; for single-mode what modal_bandwidth_from_dgd yields
  double dgd_max_ps = 0;              ///< single-mode: largest differential group delay at the target length
  double target_length_m = 0;         ///< what the standard supports
};

/// Every term of one evaluation. A closed eye makes penalties +infinity and the margin −infinity.
struct LinkModelResult {
  DecibelsPerKilometre attenuation;  ///< at the worst wavelength
  Decibels fibre_loss;
  Decibels channel_loss;           ///< fibre and connections
  double dispersion_ps_nm_km = 0;  ///< D1
  double chromatic_bandwidth_mhz = 0;
  double modal_bandwidth_mhz = 0;
  double fibre_exit_rise_ps = 0;     ///< Te
  double receiver_exit_rise_ps = 0;  ///< Tc
  Decibels isi;                      ///< intersymbol interference, duty-cycle distortion included
  Decibels jitter;                   ///< residual deterministic jitter
  Decibels corner;  ///< at the corners of the decision window: for information, not in the total
  Decibels reflection;
  Decibels mode_partition;
  Decibels relative_intensity;
  Decibels modal_noise;
  Decibels baseline_wander;  ///< already inside the sensitivity, so not in the total
  Decibels interaction;      ///< what the noises cost together beyond their sum
  Decibels penalties;        ///< all that is not loss
  Decibels total;            ///< penalties and fibre loss
  Decibels budget;           ///< transmitter less sensitivity
  Decibels margin;           ///< budget − connections − total
  /// (17), in the sense of transmit_dbm; none where the eye is closed here or at the target length.
  std::optional<PowerDbm> stressed_sensitivity;
};

/// (1): attenuation at the worst wavelength, from the cable's at its stated wavelength.
DecibelsPerKilometre model_attenuation(const LinkModelInputs& inputs);
/// (1): fibre at the worst wavelength and connections.
Decibels channel_loss(const LinkModelInputs& inputs, Metres length, Decibels connections);
/// (2): D(λ) = (S0/4)·[λ − U0⁴/λ³], ps/(nm·km), S0 in ps/(nm²·km); ITU-T G.652 words it the same.
double dispersion_ps_nm_km(Nanometres wavelength, Nanometres zero_dispersion, double slope);
/// (4): bandwidth, MHz·km, that stands for a greatest differential group delay, ps, over this length.
double modal_bandwidth_from_dgd(double dgd_max_ps, Metres length);
/// Half width of the decision window and other times of one bit, from (6).
struct BitTiming {
  double effective_rate_mbd;
  double bit_ps;
  double jitter_ui;
  double window_ui;
};
BitTiming bit_timing(const LinkModelInputs& inputs);
/// (7): erf(k(1+w)) + erf(k(1−w)) − 1.
double eye_opening(double sharpness, double offset_ui);

/// The equations as they are written, term by term; length 0 or more. LinkMargin is the quick form.
LinkModelResult evaluate(const LinkModelInputs& inputs, Metres length, Decibels connections);

}  // namespace strandbook
