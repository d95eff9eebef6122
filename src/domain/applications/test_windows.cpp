#include "domain/applications/test_windows.hpp"

namespace strandbook {

double attenuation_shape(Nanometres at) {
  const double scaled = 0.00094 * at.value;
  const double squared = scaled * scaled;
  return 1.05 + 1 / (squared * squared);
}

}  // namespace strandbook
