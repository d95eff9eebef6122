#pragma once
// For tests of what a link carries: a table's source and how attenuation falls with the wavelength.

#include "domain/applications/attenuation_shape.hpp"
#include "domain/rulebook/rule_ref.hpp"

namespace strandbook {

inline const RuleRef table_of_the_test{"table of the test", "1", "1", Standing::seen_in_extract, ""};
inline constexpr AttenuationShape glass_shape{1.05, 0.00094};

}  // namespace strandbook
