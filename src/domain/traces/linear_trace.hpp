#pragma once
// A trace as linear power, with what is known of its noise.

#include <vector>

#include "domain/traces/pulse_shape.hpp"
#include "domain/traces/trace.hpp"

namespace strandbook {

/// dB (one way) that a relative change of power means: 5/ln 10.
inline constexpr double decibels_per_share = 2.171472409516259;
/// Relative error of a detector's tail when it is told as a few exponentials.
inline constexpr double inexact_tail = 0.01;

struct LinearTrace {
  std::vector<double> recorded;  ///< every sample; `shown` and the rest are means of `joined` of them
  std::size_t joined = 1;
  std::vector<double> shown;         ///< relative to the level `reference_db`, baseline taken off
  std::vector<double> power;         ///< the same without the detector's tails
  std::vector<double> tail;          ///< what was taken off
  std::vector<double> settling;      ///< of `power`, what the receiver still answers to peaks; may be empty
  double fall = 1;                   ///< samples in which that falls to 1/e
  double fall_unsure = 0.08;         ///< relative standard uncertainty of it
  std::vector<double> tail_density;  ///< variance of a sample by that, times the length over which it holds
  std::vector<char> echo;            ///< 1 where an echo lies over the fibre; may be empty
  double reference_db = 0;
  double step_km = 0;
  PulseShape pulse;
  double pulse_ns = 0;
  double decay = 0;  ///< logarithm of what usual fibre leaves of the power from sample to sample; negative
  bool noise_seen = false;  ///< the trace runs on into the noise
  double floor_mean = 0;    ///< what the noise shows without light: more than 0 if negatives are cut off
  double floor_median = 0;
  double noise = 0;           ///< rms of one sample, linear
  double sample_noise = 0;    ///< the same of the samples as they were recorded
  double saturation = 1e300;  ///< power at which the receiver was full
  double noise_density = 0;   ///< variance of the mean over n samples is density / n, linear
  double fading_density = 0;  ///< the same, relative to the power squared

  bool shows_echo(std::size_t sample) const { return !echo.empty() && echo[sample] != 0; }
  /// Light of the fibre alone.
  double of_fibre(std::size_t sample) const {
    return settling.empty() ? power[sample] : power[sample] - settling[sample];
  }
  /// Variance of the mean level over one sample's worth of averaging at this power, dB².
  double level_density(double at_power) const {
    return decibels_per_share * decibels_per_share * (noise_density / (at_power * at_power) + fading_density);
  }
  /// What an inexact tail adds to that where it lies over light of this power, dB².
  double tail_level_density(double at_power, std::size_t sample) const {
    if (tail_density.empty()) return 0;
    return decibels_per_share * decibels_per_share * tail_density[sample] / (at_power * at_power);
  }
  /// The same, linear, where a tail that is not exactly known lies over the light of the fibre.
  double density_under_tail(double fibre, double excess) const {
    const double unsure = inexact_tail * (excess > 0 ? excess : 0);
    const double fading = fading_density > 1e-7 ? fading_density : 1e-7;
    return noise_density + fading * fibre * fibre + unsure * unsure * pulse.width + 1e-300;
  }
};

LinearTrace linear_trace(const Trace& trace);

}  // namespace strandbook
