#pragma once
// Tail probabilities of the usual distributions, accurate far out where job-wide control needs them.

#include <cstdint>

namespace strandbook {

/// P(Z > z) of the standard normal; accurate to full relative precision in the tail.
double normal_upper_tail(double z);
/// z with P(Z > z) = p, 0 < p < 1.
double normal_upper_quantile(double p);

/// P(T > t) of Student's t; 1 where t or the degrees are none: a statistic that cannot be formed speaks for
/// nothing.
double student_upper_tail(double t, double degrees);
/// t with P(T > t) = p, 0 < p < 1.
double student_upper_quantile(double p, double degrees);

/// P(F > f) of Fisher's F; `above` and `below` are the degrees of freedom, > 0.
double f_upper_tail(double f, double above, double below);
/// P(χ² < x); `degrees` > 0.
double chi_squared_lower_tail(double x, double degrees);

/// P(X ≥ successes) of the binomial.
double binomial_upper_tail(std::uint32_t successes, std::uint32_t trials, double p);

/// Drawing `drawn` from `all` of which `marked` are marked.
struct Draw {
  std::uint32_t all = 0;
  std::uint32_t marked = 0;
  std::uint32_t drawn = 0;
};
/// P(X ≥ hits) of the hypergeometric distribution (Fisher's exact test, one-sided).
double hypergeometric_upper_tail(std::uint32_t hits, const Draw& draw);

/// Normal deviate that is passed as rarely as the standardised deviate `g` of a gamma variable with the given
/// skewness: the cube-root transform of Wilson and Hilferty, PNAS 17 (1931) 684. Skewness 0 gives g.
double wilson_hilferty_deviate(double g, double skewness);

}  // namespace strandbook
