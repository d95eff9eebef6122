#pragma once
// Linear least squares by Householder reflections, and its robust sisters.

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

namespace strandbook {

/// Row-major matrix of doubles.
struct Matrix {
  std::size_t rows = 0;
  std::size_t columns = 0;
  std::vector<double> values;

  Matrix(std::size_t r, std::size_t c) : rows(r), columns(c), values(r * c) {}
  double& at(std::size_t r, std::size_t c) { return values[r * columns + c]; }
  double at(std::size_t r, std::size_t c) const { return values[r * columns + c]; }
};

struct LinearFit {
  std::vector<double> coefficients;
  std::vector<double> standard_errors;
  std::vector<double> residuals;
  double residual_deviation = 0;  ///< √(RSS / (rows − columns))
  double residual_squares = 0;    ///< RSS
};

/// Minimises |y − Xb|². Nothing where a column hangs on the others (to about 1e-11 of its length): such a
/// question has no single answer and must be put otherwise. Needs rows ≥ columns.
std::optional<LinearFit> least_squares(const Matrix& x, std::span<const double> y);

/// Solves a square system by the same reflections; nothing where it is singular.
std::optional<std::vector<double>> solve(const Matrix& a, std::span<const double> b);

enum class Psi { huber, bisquare };

/// M-estimate by iterated weighting from the least-squares start, scale by the MAD of the residuals about
/// zero at each round, as MASS::rlm does. `tuning` is 1.345 for Huber and 4.685 for the bisquare at 95 %
/// efficiency. `residual_deviation` is the robust scale; standard errors are left empty.
std::optional<LinearFit> robust_fit(const Matrix& x, std::span<const double> y, Psi psi, double tuning);

}  // namespace strandbook
