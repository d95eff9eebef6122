#include "domain/statistics/gauss_legendre.hpp"

#include <cmath>
#include <cstddef>
#include <numbers>

namespace strandbook {

Quadrature gauss_legendre(std::size_t points, double low, double high) {
  Quadrature rule{std::vector<double>(points), std::vector<double>(points)};
  const auto n = static_cast<double>(points);
  for (std::size_t i = 0; i < points; ++i) {
    // Newton's method on the Legendre polynomial, from the usual first guess for its i-th root.
    double x = std::cos(std::numbers::pi * (static_cast<double>(i) + 0.75) / (n + 0.5));
    double slope = 1;
    for (int round = 0; round < 100; ++round) {
      double before = 1;
      double value = x;
      for (std::size_t k = 2; k <= points; ++k) {
        const auto d = static_cast<double>(k);
        const double next = ((2 * d - 1) * x * value - (d - 1) * before) / d;
        before = value;
        value = next;
      }
      slope = n * (x * value - before) / (x * x - 1);
      const double step = value / slope;
      x -= step;
      if (std::abs(step) < 1e-15) break;
    }
    rule.nodes[points - 1 - i] = (low + high) / 2 + x * (high - low) / 2;
    rule.weights[points - 1 - i] = (high - low) / ((1 - x * x) * slope * slope);
  }
  return rule;
}

}  // namespace strandbook
