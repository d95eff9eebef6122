#pragma once
// The margin of the link model many times over: reach, curves, large batches. Agrees with evaluate() to 1e-12
// dB wherever the penalties stay below 20 dB; nearer to the closing of the eye both lose digits.

#include <optional>
#include <span>
#include <vector>

#include "domain/applications/link_model.hpp"

namespace strandbook {

/// What does not depend on length and connections is worked out once. The penalties are not told apart here:
/// their sum telescopes (15 in 14) into one logarithm.
class LinkMargin {
 public:
  explicit LinkMargin(const LinkModelInputs& inputs);

  /// Margin, dB; −infinity where the eye is closed. Length 0 or more.
  Decibels at(Metres length, Decibels connections) const;
  /// The same for many: lengths in m, connections and margins in dB, all of one size.
  void at_each(std::span<const double> lengths_m, std::span<const double> connections_db,
               std::span<double> margins_db) const;

  /// Largest length with a margin of 0 or more, to a micrometre; none where not even length 0 has one. Where
  /// margin comes back with length (reflections that fade), the last such length counts; gaps narrower than a
  /// thousandth of the longest conceivable reach are not seen.
  std::optional<Metres> reach(Decibels connections) const;
  /// Largest connection loss with a margin of 0 or more at this length; none where there is none.
  std::optional<Decibels> most_connections(Metres length) const;

 private:
  double margin_db(double km, double connections_db) const;
  double eye_left(double sharpness, double channel_loss_db) const;

  double attenuation_;         ///< dB/km
  double budget_;              ///< dB, baseline wander given back
  double fixed_rise2_;         ///< ps²: source and receiver
  double fibre_rise2_;         ///< ps²/km²
  double sharpness_ps_;        ///< k · Tc
  double jitter_;              ///< UI
  double reflected_;           ///< 2 n R √(2X) / (X − 1)
  double extinction_;          ///< X
  double partition_;           ///< Q k/√2
  double partition_beta2_;     ///< 1/km²
  double modal_share_;         ///< Q² Vmn
  double wander_share_;        ///< Q² σ²
  double intensity_;           ///< Q² · 0.7e6 g² 10^(RIN/10)
  double intensity_fibre_;     ///< 1/(MHz·km)²
  double intensity_receiver_;  ///< 1/MHz²
};

struct LinkCurvePoint {
  Metres length;
  Decibels fibre_loss;
  Decibels penalties;  ///< +infinity where the eye is closed
  Decibels margin;     ///< −infinity where the eye is closed
};

/// `points` (2 or more) lengths from 0 to `longest`, evenly spaced: a picture of margin against length.
std::vector<LinkCurvePoint> link_curve(const LinkModelInputs& inputs, Decibels connections, Metres longest,
                                       std::size_t points);

}  // namespace strandbook
