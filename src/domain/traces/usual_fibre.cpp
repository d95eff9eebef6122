#include "domain/traces/usual_fibre.hpp"

namespace strandbook {
namespace {

/// Multimode glass scatters several decibels more back than single-mode glass; around 1300 nm only that tells
/// them apart.
bool is_multimode(const TraceSettings& settings) {
  if (settings.wavelength.value < 1000) return true;
  return settings.wavelength.value < 1400 && settings.backscatter && settings.backscatter->value > -77.2;
}

}  // namespace

SlopePrior usual_slope(const TraceSettings& settings) {
  if (settings.wavelength.value < 1000) return {-2.7, 0.4};
  if (is_multimode(settings)) return {-0.8, 0.3};
  if (settings.wavelength.value < 1420) return {-0.35, 0.04};
  return {-0.21, 0.03};
}

double slope_spread(const TraceSettings& settings) {
  if (settings.wavelength.value < 1000) return 0.05;
  return is_multimode(settings) ? 0.03 : 0.012;
}

}  // namespace strandbook
