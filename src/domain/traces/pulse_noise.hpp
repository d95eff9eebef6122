#pragma once
// How neighbouring samples vary together: fading is light of the fibre, so pulse and receiver shape it as
// they shape an event; what the receiver adds itself knows of its time constant only.

#include <cstddef>
#include <vector>

#include "domain/traces/linear_trace.hpp"

namespace strandbook {

class PulseNoise {
 public:
  /// Of `samples` neighbours under fibre light of this power; `unshaped` is the deviation of each sample that
  /// no neighbour shares, linear.
  PulseNoise(const LinearTrace& trace, double light, double unshaped, std::size_t samples);

  /// Turns residuals of these samples into as many numbers that are independent, of deviation 1.
  void whiten(std::vector<double>& residuals) const;

 private:
  std::size_t size_;
  std::vector<double> factor_;  ///< lower triangle by columns, the diagonal inverted (Cholesky)
};

}  // namespace strandbook
