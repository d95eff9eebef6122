#include "domain/statistics/pearson_three.hpp"

#include <boost/math/distributions/gamma.hpp>
#include <boost/math/distributions/normal.hpp>
#include <cmath>

#include "domain/statistics/tails.hpp"

namespace strandbook {
namespace {

// A curve this little skewed is the normal one to eight digits, and its gamma form loses them.
constexpr double no_skew = 1e-4;

double skewness(const Cumulants& sum) { return sum.third / std::pow(sum.variance, 1.5); }

/// The gamma variable behind a positively skewed curve: X = mean + σ·(γ/2)·(G − 4/γ²).
struct Shifted {
  double shape;
  double scale;
  double shift;
};
Shifted shifted(const Cumulants& sum, double skew) {
  const double deviation = std::sqrt(sum.variance);
  const double shape = 4 / (skew * skew);
  const double scale = deviation * skew / 2;
  return {shape, scale, sum.mean - shape * scale};
}

Cumulants mirrored(const Cumulants& sum) { return {-sum.mean, sum.variance, -sum.third}; }

double gamma_upper_tail(double shape, double x) {
  return x <= 0 ? 1 : boost::math::cdf(boost::math::complement(boost::math::gamma_distribution<>(shape), x));
}

double gamma_lower_tail(double shape, double x) {
  return x <= 0 ? 0 : boost::math::cdf(boost::math::gamma_distribution<>(shape), x);
}

}  // namespace

std::optional<GammaCurve> gamma_through(double mean, double most, double share) {
  if (!(mean > 0) || !(most > mean)) return std::nullopt;
  // The quantile over the mean falls as the shape rises, from shape 0.6 on for every share up to 0.9999.
  const auto ratio = [share](double shape) {
    return boost::math::quantile(boost::math::gamma_distribution<>(shape), share) / shape;
  };
  double low = 0.6;
  double high = 1e6;
  if (most / mean > ratio(low) || most / mean < ratio(high)) return std::nullopt;
  for (int step = 0; step < 200 && high - low > 1e-12 * low; ++step) {
    const double middle = std::sqrt(low * high);
    (ratio(middle) > most / mean ? low : high) = middle;
  }
  const double shape = std::sqrt(low * high);
  return GammaCurve{shape, mean / shape};
}

GammaCurve gamma_with(double mean, double deviation) {
  return {mean * mean / (deviation * deviation), deviation * deviation / mean};
}

double quantile(const GammaCurve& curve, double p) {
  return curve.scale * boost::math::quantile(boost::math::gamma_distribution<>(curve.shape), p);
}

Cumulants cumulants_of(const GammaCurve& curve) {
  const double variance = curve.shape * curve.scale * curve.scale;
  return {curve.shape * curve.scale, variance, 2 * variance * curve.scale};
}

double upper_tail(const Cumulants& sum, double x) {
  if (!(sum.variance > 0)) return sum.mean > x ? 1 : 0;
  const double skew = skewness(sum);
  if (std::abs(skew) < no_skew) return normal_upper_tail((x - sum.mean) / std::sqrt(sum.variance));
  if (skew > 0) {
    const Shifted curve = shifted(sum, skew);
    return gamma_upper_tail(curve.shape, (x - curve.shift) / curve.scale);
  }
  const Shifted curve = shifted(mirrored(sum), -skew);
  return gamma_lower_tail(curve.shape, (-x - curve.shift) / curve.scale);
}

double quantile(const Cumulants& sum, double p) {
  if (!(sum.variance > 0)) return sum.mean;
  const double skew = skewness(sum);
  if (std::abs(skew) < no_skew) return sum.mean + std::sqrt(sum.variance) * normal_upper_quantile(1 - p);
  if (skew < 0) return -quantile(mirrored(sum), 1 - p);
  const Shifted curve = shifted(sum, skew);
  return curve.shift + curve.scale * boost::math::quantile(boost::math::gamma_distribution<>(curve.shape), p);
}

double density(const Cumulants& sum, double x) {
  if (!(sum.variance > 0)) return 0;
  const double skew = skewness(sum);
  const double deviation = std::sqrt(sum.variance);
  if (std::abs(skew) < no_skew)
    return boost::math::pdf(boost::math::normal_distribution<>(sum.mean, deviation), x);
  if (skew < 0) return density(mirrored(sum), -x);
  const Shifted curve = shifted(sum, skew);
  const double g = (x - curve.shift) / curve.scale;
  return g <= 0 ? 0 : boost::math::pdf(boost::math::gamma_distribution<>(curve.shape), g) / curve.scale;
}

}  // namespace strandbook
