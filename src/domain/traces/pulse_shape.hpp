#pragma once
// How the instrument shows a point on the fibre: a rectangle of the pulse's length, rounded by the receiver.

#include <cmath>

namespace strandbook {

/// Lengths in samples.
struct PulseShape {
  double width = 4;     ///< of the pulse on the distance axis
  double receiver = 1;  ///< time constant of the receiver, as distance

  /// Answer to a reflection that begins at 0, plateau 1.
  double peak(double x) const {
    if (x <= 0) return 0;
    if (x <= width) return 1 - std::exp(-x / receiver);
    return (1 - std::exp(-width / receiver)) * std::exp(-(x - width) / receiver);
  }
  /// Share of a step at 0 that shows at x: 0 before, 1 after pulse and receiver.
  double step(double x) const {
    if (x <= 0) return 0;
    const double until = x < width ? x : width;
    const double ramp = (until - receiver * (1 - std::exp(-until / receiver))) / width;
    if (x <= width) return ramp;
    return 1 - (1 - ramp) * std::exp(-(x - width) / receiver);
  }
  /// Samples after its start in which an event bends the trace by more than 1 % of itself.
  double extent() const { return width + 4 * receiver; }
};

}  // namespace strandbook
