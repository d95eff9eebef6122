#pragma once
// Location and scale that a few wild values do not move.

#include <span>
#include <vector>

namespace strandbook {

/// Middle value, or the mean of the two middle ones; `values` is reordered and must not be empty.
double median_in_place(std::span<double> values);
double median(std::span<const double> values);

/// 1 / Φ⁻¹(0.75): the median absolute deviation times this is the standard deviation of normal data.
inline constexpr double mad_to_sigma = 1.482602218505602;

struct Centre {
  double location = 0;
  double scale = 0;  ///< standard deviation that normal data would have
};
/// Median and MAD · 1.4826; `values` is reordered and must not be empty.
Centre median_and_mad(std::span<double> values);

/// Huber's location with the MAD held as scale, iterated to 1e-10 of it; k is 1.345 for 95 % efficiency.
double huber_location(std::span<const double> values, double k);

/// Algorithm A of ISO 13528:2015, C.3: winsorised mean and scale, iterated until neither moves by more than
/// `tolerance` of the scale, or `most_rounds` are done.
Centre algorithm_a(std::span<const double> values, double tolerance = 1e-9, int most_rounds = 200);

}  // namespace strandbook
