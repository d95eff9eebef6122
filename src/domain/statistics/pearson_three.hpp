#pragma once
// Sums of unlike parts by their cumulants: the first three add, and the gamma curve through them (Pearson's
// type III) stands for the sum. Within 0.001 dB of a drawn sum up to the 99.9 % quantile for the parts of a
// link.

#include <optional>

namespace strandbook {

/// Gamma distribution: mean shape·scale, variance shape·scale².
struct GammaCurve {
  double shape = 1;
  double scale = 1;
};

/// The gamma curve with this mean of which `share` lies below `most`. Nothing where there is none: it needs
/// 0 < mean < most, and `most` not further out than a curve of shape 0.6 has it.
std::optional<GammaCurve> gamma_through(double mean, double most, double share);
/// The gamma curve with this mean and standard deviation, both > 0.
GammaCurve gamma_with(double mean, double deviation);
/// x that a share p of the curve lies below, 0 < p < 1.
double quantile(const GammaCurve& curve, double p);

/// Mean, variance and third central moment of a random quantity; those of independent ones add.
struct Cumulants {
  double mean = 0;
  double variance = 0;
  double third = 0;
};
constexpr Cumulants operator+(const Cumulants& a, const Cumulants& b) {
  return {a.mean + b.mean, a.variance + b.variance, a.third + b.third};
}
/// Of the sum of n independent ones; n < 0: they are taken away.
constexpr Cumulants sum_of(double n, const Cumulants& each) {
  const double count = n < 0 ? -n : n;
  return {n * each.mean, count * each.variance, n * each.third};
}
/// Of factor times the quantity.
constexpr Cumulants scaled(double factor, const Cumulants& each) {
  return {factor * each.mean, factor * factor * each.variance, factor * factor * factor * each.third};
}
Cumulants cumulants_of(const GammaCurve& curve);
constexpr Cumulants normal_cumulants(double mean, double deviation) {
  return {mean, deviation * deviation, 0};
}

/// P(X > x) of the Pearson type III curve with these cumulants; with variance 0 it is 1 or 0.
double upper_tail(const Cumulants& sum, double x);
/// x with P(X < x) = p, 0 < p < 1.
double quantile(const Cumulants& sum, double p);
/// Density at x; 0 with variance 0.
double density(const Cumulants& sum, double x);

}  // namespace strandbook
