#pragma once
// Charts of standardised values in time order, and how long they run before an alarm.

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

namespace strandbook {

/// Two-sided tabular CUSUM of unit-variance values: C⁺ = max(0, C⁺ + z − k), C⁻ = max(0, C⁻ − z − k).
struct CusumDesign {
  double allowance = 0.5;  ///< k: half the shift to be caught
  double limit = 5;        ///< h: alarm beyond it
  double head_start = 0;   ///< C⁺ and C⁻ begin here (fast initial response)
};

class Cusum {
 public:
  explicit Cusum(CusumDesign design) : design_(design), up_(design.head_start), down_(design.head_start) {}
  /// True where this value takes the chart beyond its limit.
  bool add(double z);
  double up() const { return up_; }
  double down() const { return down_; }
  /// Values since the side that stands higher was last at zero: where the shift probably began.
  std::size_t run() const { return up_ >= down_ ? run_up_ : run_down_; }

 private:
  CusumDesign design_;
  double up_;
  double down_;
  std::size_t run_up_ = 0;
  std::size_t run_down_ = 0;
};

/// Average run length of the one-sided chart under a shift of the mean, in standard deviations: the integral
/// equation of Page, solved on Gauss–Legendre nodes.
double one_sided_cusum_arl(const CusumDesign& design, double shift);
/// Of both sides together: 1/ARL = 1/ARL⁺ + 1/ARL⁻ where there is no head start; with a head start the form
/// of Lucas and Crosier, Technometrics 24 (1982) 199.
double cusum_arl(const CusumDesign& design, double shift);
/// The limit at which the two-sided chart without head start runs `arl` values on average before a false
/// alarm.
double cusum_limit_for(double allowance, double arl);

/// EWMA: Q = λz + (1 − λ)Q, alarm beyond ±width · √(λ/(2 − λ) · [1 − (1 − λ)^2i]).
struct EwmaDesign {
  double weight = 0.25;  ///< λ
  double width = 3;      ///< c
};
/// Q after each value, from `start`.
std::vector<double> ewma(std::span<const double> values, double weight, double start);
/// Half-width of the limits after `count` values; as count grows, of the fixed limits.
double ewma_half_width(const EwmaDesign& design, std::size_t count);
/// First value at which the standardised series leaves its limits.
std::optional<std::size_t> ewma_alarm(std::span<const double> z, const EwmaDesign& design);
/// Average run length with fixed limits under a shift in standard deviations.
double ewma_arl(const EwmaDesign& design, double shift);

/// Average run length of |z| > limit.
double shewhart_arl(double limit, double shift);

}  // namespace strandbook
