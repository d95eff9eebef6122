#pragma once
// How the place of an edge is looked for.

#include <algorithm>
#include <cmath>

#include "domain/traces/event_search.hpp"

namespace strandbook {

/// Least value of `cost` near `from`, by ever smaller steps. Where it falls without end the descent stops.
template <class Cost>
double descend(double from, double step, double finest, const Cost& cost) {
  double at = from;
  double here = cost(at);
  constexpr int most_rounds = 400;
  for (int round = 0; step > finest && round < most_rounds; ++round) {
    const double left = cost(at - step);
    const double right = cost(at + step);
    if (left < here && left <= right) {
      at -= step;
      here = left;
    } else if (right < here) {
      at += step;
      here = right;
    } else {
      step /= 2;
    }
  }
  return at;
}

/// Samples that an edge no farther than `reach` from `start` changes, and as many beside as show what it
/// changes.
inline SampleRange around(const LinearTrace& trace, double start, SampleRange room, double reach = 0) {
  const double w = trace.pulse.width;
  const auto clamp = [&](double x) {
    return static_cast<std::size_t>(
        std::clamp(x, static_cast<double>(room.first), static_cast<double>(room.last)));
  };
  return {clamp(std::floor(start - reach - 2 * w - 3)), clamp(std::ceil(start + reach + 3 * w + 4))};
}

}  // namespace strandbook
