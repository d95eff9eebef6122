#include "domain/statistics/tails.hpp"

#include <algorithm>
#include <boost/math/distributions/binomial.hpp>
#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/fisher_f.hpp>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <numbers>

namespace strandbook {

namespace bm = boost::math;

// Long double would cost four fifths of the time for digits that no finding looks at.
using InDouble = bm::policies::policy<bm::policies::promote_double<false>>;

double normal_upper_tail(double z) { return std::erfc(z / std::numbers::sqrt2) / 2; }

double normal_upper_quantile(double p) {
  return bm::quantile(bm::complement(bm::normal_distribution<double, InDouble>(), p));
}

double student_upper_tail(double t, double degrees) {
  if (std::isnan(t) || !(degrees > 0)) return 1;
  return bm::cdf(bm::complement(bm::students_t_distribution<double, InDouble>(degrees), t));
}

double student_upper_quantile(double p, double degrees) {
  return bm::quantile(bm::complement(bm::students_t_distribution<double, InDouble>(degrees), p));
}

double f_upper_tail(double f, double above, double below) {
  return !(f > 0) ? 1 : bm::cdf(bm::complement(bm::fisher_f_distribution<double, InDouble>(above, below), f));
}

double chi_squared_lower_tail(double x, double degrees) {
  return x <= 0 ? 0 : bm::cdf(bm::chi_squared_distribution<double, InDouble>(degrees), x);
}

double binomial_upper_tail(std::uint32_t successes, std::uint32_t trials, double p) {
  if (successes == 0) return 1;
  if (successes > trials) return 0;
  return bm::cdf(bm::complement(bm::binomial_distribution<double, InDouble>(trials, p), successes - 1.0));
}

double hypergeometric_upper_tail(std::uint32_t hits, const Draw& draw) {
  const std::uint32_t most = std::min(draw.marked, draw.drawn);
  const std::uint32_t unmarked = draw.all - draw.marked;
  const std::uint32_t least = draw.drawn > unmarked ? draw.drawn - unmarked : 0;
  if (hits <= least) return 1;
  if (hits > most) return 0;
  const auto log_choose = [](double n, double k) {
    return std::lgamma(n + 1) - std::lgamma(k + 1) - std::lgamma(n - k + 1);
  };
  const double whole = log_choose(draw.all, draw.drawn);
  // Terms fall fast beyond the mode; each follows from the one before it.
  double term = std::exp(log_choose(draw.marked, hits) + log_choose(unmarked, draw.drawn - hits) - whole);
  double sum = 0;
  for (std::uint32_t x = hits; x <= most; ++x) {
    sum += term;
    term *= (draw.marked - double{1} * x) / (x + 1.0) * (draw.drawn - double{1} * x) /
            (double{1} * unmarked - draw.drawn + x + 1.0);
  }
  return std::min(1.0, sum);
}

double wilson_hilferty_deviate(double g, double skewness) {
  if (skewness <= 0) return g;
  const double shape = 4 / (skewness * skewness);
  const double ratio = std::max(0.0, 1 + g / std::sqrt(shape));
  return (std::cbrt(ratio) - 1 + 1 / (9 * shape)) * 3 * std::sqrt(shape);
}

}  // namespace strandbook
