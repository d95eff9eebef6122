#pragma once
// Values unlike the rest, with stated error rates.

#include <cstddef>
#include <span>
#include <vector>

namespace strandbook {

enum class Sides { upper, both };

/// Grubbs' statistic: largest deviation from the mean (upper, or either way) over the standard deviation.
double grubbs_statistic(std::span<const double> values, Sides sides);
/// Its critical value at level alpha; n ≥ 3.
double grubbs_critical(std::size_t n, double alpha, Sides sides);
/// Probability, over the whole sample, that normal data show a Grubbs statistic as large: Bonferroni over n.
double grubbs_probability(double statistic, std::size_t n, Sides sides);

struct EsdStep {
  std::size_t index = 0;  ///< which value was taken away
  double statistic = 0;   ///< R
  double critical = 0;    ///< λ at the given level
};
/// Generalised extreme studentised deviates (Rosner, Technometrics 25 (1983) 165), two-sided, up to `most`
/// values taken away. Holds well from about 15 values on.
struct EsdResult {
  std::vector<EsdStep> steps;
  std::size_t outliers = 0;  ///< the largest step whose R is beyond its λ
};
EsdResult generalised_esd(std::span<const double> values, std::size_t most, double alpha);

}  // namespace strandbook
