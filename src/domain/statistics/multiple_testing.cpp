#include "domain/statistics/multiple_testing.hpp"

#include <algorithm>
#include <numeric>

namespace strandbook {

std::vector<double> benjamini_hochberg(std::span<const double> probabilities, std::size_t tests) {
  std::vector<std::size_t> order(probabilities.size());
  std::iota(order.begin(), order.end(), 0);
  std::sort(order.begin(), order.end(),
            [&](std::size_t a, std::size_t b) { return probabilities[a] < probabilities[b]; });
  std::vector<double> adjusted(probabilities.size());
  const auto all = static_cast<double>(std::max(tests, probabilities.size()));
  double least = 1;
  for (std::size_t i = order.size(); i-- > 0;) {
    least = std::min(least, probabilities[order[i]] * all / static_cast<double>(i + 1));
    adjusted[order[i]] = least;
  }
  return adjusted;
}

}  // namespace strandbook
