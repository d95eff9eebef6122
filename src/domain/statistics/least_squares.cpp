#include "domain/statistics/least_squares.hpp"

#include <algorithm>
#include <cmath>

#include "domain/statistics/robust.hpp"

namespace strandbook {
namespace {

/// Householder QR of X with its columns brought to length one. Sums are kept in long double: it costs nothing
/// here and gives the last digits of ill-conditioned polynomials.
class Reflections {
 public:
  explicit Reflections(const Matrix& x) : rows_(x.rows), columns_(x.columns), a_(x), scale_(x.columns) {
    for (std::size_t c = 0; c < columns_; ++c) {
      scale_[c] = length(c, 0);
      if (scale_[c] == 0) continue;
      for (std::size_t r = 0; r < rows_; ++r) a_.at(r, c) /= scale_[c];
    }
    for (std::size_t c = 0; c < columns_; ++c) reflect(c);
  }

  bool full_rank(double least) const {
    return std::all_of(diagonal_.begin(), diagonal_.end(), [least](double d) { return std::abs(d) > least; });
  }

  std::vector<double> solve(std::span<const double> y) const {
    std::vector<double> rotated(y.begin(), y.end());
    for (std::size_t c = 0; c < columns_; ++c) {
      long double dot = 0;
      for (std::size_t r = c; r < rows_; ++r) dot += static_cast<long double>(a_.at(r, c)) * rotated[r];
      for (std::size_t r = c; r < rows_; ++r) rotated[r] -= static_cast<double>(2 * dot) * a_.at(r, c);
    }
    return back_substitute(rotated);
  }

  /// Lengths of the rows of R⁻¹ in the scale of the columns: what standard errors are made of.
  std::vector<double> inverse_row_lengths() const {
    std::vector<double> squares(columns_, 0);
    for (std::size_t k = 0; k < columns_; ++k) {
      std::vector<double> unit(columns_, 0);
      unit[k] = 1;
      const std::vector<double> column = back_substitute(unit);
      for (std::size_t c = 0; c < columns_; ++c) squares[c] += column[c] * column[c];
    }
    for (double& square : squares) square = std::sqrt(square);
    return squares;
  }

 private:
  double length(std::size_t c, std::size_t from) const {
    long double sum = 0;
    for (std::size_t r = from; r < rows_; ++r) sum += static_cast<long double>(a_.at(r, c)) * a_.at(r, c);
    return static_cast<double>(std::sqrt(sum));
  }

  void reflect(std::size_t c) {
    const double norm = length(c, c);
    const double head = a_.at(c, c);
    diagonal_.push_back(head > 0 ? -norm : norm);
    if (norm == 0) return;
    a_.at(c, c) -= diagonal_[c];
    const double own = length(c, c);
    for (std::size_t r = c; r < rows_; ++r) a_.at(r, c) /= own;
    for (std::size_t k = c + 1; k < columns_; ++k) {
      long double dot = 0;
      for (std::size_t r = c; r < rows_; ++r) dot += static_cast<long double>(a_.at(r, c)) * a_.at(r, k);
      for (std::size_t r = c; r < rows_; ++r) a_.at(r, k) -= static_cast<double>(2 * dot) * a_.at(r, c);
    }
  }

  std::vector<double> back_substitute(const std::vector<double>& right) const {
    std::vector<double> b(columns_);
    for (std::size_t c = columns_; c-- > 0;) {
      long double sum = right[c];
      for (std::size_t k = c + 1; k < columns_; ++k) sum -= static_cast<long double>(a_.at(c, k)) * b[k];
      b[c] = static_cast<double>(sum / diagonal_[c]);
    }
    for (std::size_t c = 0; c < columns_; ++c) b[c] /= scale_[c] == 0 ? 1 : scale_[c];
    return b;
  }

  std::size_t rows_;
  std::size_t columns_;
  Matrix a_;  ///< reflections on and below the diagonal, R above it
  std::vector<double> scale_;
  std::vector<double> diagonal_;
};

std::vector<double> residuals_of(const Matrix& x, std::span<const double> y, const std::vector<double>& b) {
  std::vector<double> residuals(x.rows);
  for (std::size_t r = 0; r < x.rows; ++r) {
    long double sum = y[r];
    for (std::size_t c = 0; c < x.columns; ++c) sum -= static_cast<long double>(x.at(r, c)) * b[c];
    residuals[r] = static_cast<double>(sum);
  }
  return residuals;
}

double weight_at(Psi psi, double u, double tuning) {
  const double size = std::abs(u);
  if (psi == Psi::huber) return size <= tuning ? 1 : tuning / size;
  const double rest = 1 - size * size / (tuning * tuning);
  return size < tuning ? rest * rest : 0;
}

}  // namespace

std::optional<LinearFit> least_squares(const Matrix& x, std::span<const double> y) {
  if (x.rows < x.columns || x.rows != y.size()) return std::nullopt;
  const Reflections qr(x);
  if (!qr.full_rank(1e-11)) return std::nullopt;
  LinearFit fit;
  fit.coefficients = qr.solve(y);
  fit.residuals = residuals_of(x, y, fit.coefficients);
  // One round of refinement wins back what rounding lost in nearly dependent columns.
  const std::vector<double> correction = qr.solve(fit.residuals);
  for (std::size_t c = 0; c < x.columns; ++c) fit.coefficients[c] += correction[c];
  fit.residuals = residuals_of(x, y, fit.coefficients);
  for (const double e : fit.residuals) fit.residual_squares += e * e;
  const auto degrees = static_cast<double>(x.rows - x.columns);
  fit.residual_deviation = degrees > 0 ? std::sqrt(fit.residual_squares / degrees) : 0;
  fit.standard_errors = qr.inverse_row_lengths();
  for (double& error : fit.standard_errors) error *= fit.residual_deviation;
  return fit;
}

std::optional<std::vector<double>> solve(const Matrix& a, std::span<const double> b) {
  if (a.rows != a.columns) return std::nullopt;
  const Reflections qr(a);
  if (!qr.full_rank(1e-14)) return std::nullopt;
  return qr.solve(b);
}

std::optional<LinearFit> robust_fit(const Matrix& x, std::span<const double> y, Psi psi, double tuning) {
  std::optional<LinearFit> fit = least_squares(x, y);
  if (!fit) return std::nullopt;
  Matrix weighted = x;
  std::vector<double> right(y.begin(), y.end());
  for (int round = 0; round < 200; ++round) {
    std::vector<double> sizes(fit->residuals.size());
    std::transform(fit->residuals.begin(), fit->residuals.end(), sizes.begin(),
                   [](double e) { return std::abs(e); });
    const double scale = median_in_place(sizes) * mad_to_sigma;
    fit->residual_deviation = scale;
    if (scale <= 0) break;
    for (std::size_t r = 0; r < x.rows; ++r) {
      const double root = std::sqrt(weight_at(psi, fit->residuals[r] / scale, tuning));
      for (std::size_t c = 0; c < x.columns; ++c) weighted.at(r, c) = root * x.at(r, c);
      right[r] = root * y[r];
    }
    const std::optional<LinearFit> next = least_squares(weighted, right);
    if (!next) break;
    double moved = 0;
    for (std::size_t c = 0; c < x.columns; ++c)
      moved = std::max(moved, std::abs(next->coefficients[c] - fit->coefficients[c]) /
                                  (1e-12 + std::abs(next->coefficients[c])));
    fit->coefficients = next->coefficients;
    fit->residuals = residuals_of(x, y, fit->coefficients);
    if (moved < 1e-10) break;
  }
  fit->standard_errors.clear();
  fit->residual_squares = 0;
  for (const double e : fit->residuals) fit->residual_squares += e * e;
  return fit;
}

}  // namespace strandbook
