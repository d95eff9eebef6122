#include "domain/rulebook/connection_counts.hpp"

#include <algorithm>

namespace strandbook {
namespace {

int joins_held(ReferenceMethod method) {
  switch (method) {
    case ReferenceMethod::one_cord:
      return 0;
    case ReferenceMethod::two_cord:
      return 1;
    case ReferenceMethod::three_cord:
      return 2;
  }
  return 0;
}

}  // namespace

ConnectionCounts counts_of(int connections, std::optional<ReferenceMethod> method,
                           Configuration configuration) {
  if (!method || configuration == Configuration::channel)
    return {.ends = 0, .embedded = connections, .joins = 0};
  const int ends = std::min(connections, 2);
  return {.ends = ends, .embedded = connections - ends, .joins = std::min(ends, joins_held(*method))};
}

}  // namespace strandbook
