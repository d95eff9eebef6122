#include "domain/traces/pulse_noise.hpp"

#include <algorithm>
#include <cmath>

namespace strandbook {
namespace {

/// Covariance at each lag of a white field of density 1 that pulse and receiver show.
std::vector<double> shaped_covariance(const PulseShape& pulse, std::size_t lags) {
  std::vector<double> answer;
  const auto length = static_cast<std::size_t>(std::ceil(pulse.extent()));
  for (std::size_t k = 0; k < length; ++k) {
    const auto x = static_cast<double>(k);
    answer.push_back(pulse.step(x + 1) - pulse.step(x));
  }
  std::vector<double> covariance(lags);
  for (std::size_t lag = 0; lag < std::min(lags, length); ++lag)
    for (std::size_t k = 0; k + lag < length; ++k) covariance[lag] += answer[k] * answer[k + lag];
  return covariance;
}

std::vector<double> covariance_of(const LinearTrace& trace, double light, double unshaped, std::size_t lags) {
  std::vector<double> covariance = shaped_covariance(trace.pulse, lags);
  const double fading = trace.fading_density * light * light;
  for (double& c : covariance) c *= fading;
  // What a mean varies by, beside a sample, tells how long the receiver's noise knows of itself.
  const double together =
      trace.noise > 0 ? std::max(1.0, trace.noise_density / (trace.noise * trace.noise)) : 1;
  const double share = (together - 1) / (together + 1);
  double noise = trace.noise_density / together;
  for (double& c : covariance) {
    c += noise;
    noise *= share;
  }
  covariance[0] += unshaped * unshaped;
  return covariance;
}

}  // namespace

PulseNoise::PulseNoise(const LinearTrace& trace, double light, double unshaped, std::size_t samples)
    : size_(samples), factor_(samples * (samples + 1) / 2) {
  const std::vector<double> covariance = covariance_of(trace, light, unshaped, samples);
  double* column = factor_.data();
  for (std::size_t j = 0; j < size_; column += size_ - j, ++j)
    std::copy_n(covariance.begin(), size_ - j, column);
  column = factor_.data();
  for (std::size_t j = 0; j < size_; column += size_ - j, ++j) {
    column[0] = 1 / std::sqrt(std::max(column[0], 1e-300));
    for (std::size_t i = 1; i < size_ - j; ++i) column[i] *= column[0];
    double* later = column + (size_ - j);
    for (std::size_t k = 1; k < size_ - j; later += size_ - j - k, ++k)
      for (std::size_t i = k; i < size_ - j; ++i) later[i - k] -= column[i] * column[k];
  }
}

void PulseNoise::whiten(std::vector<double>& residuals) const {
  const double* column = factor_.data();
  for (std::size_t j = 0; j < size_; column += size_ - j, ++j) {
    residuals[j] *= column[0];
    double* const later = &residuals[j];
    for (std::size_t i = 1; i < size_ - j; ++i) later[i] -= column[i] * later[0];
  }
}

}  // namespace strandbook
