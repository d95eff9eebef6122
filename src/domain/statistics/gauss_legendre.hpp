#pragma once
// Nodes and weights for integrals over a finite interval.

#include <vector>

namespace strandbook {

struct Quadrature {
  std::vector<double> nodes;
  std::vector<double> weights;
};
/// Gauss–Legendre rule of `points` nodes on [low, high]; exact for polynomials of degree 2·points − 1.
Quadrature gauss_legendre(std::size_t points, double low, double high);

}  // namespace strandbook
