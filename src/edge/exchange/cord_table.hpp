#pragma once
// A table of matings of cord ends: cord, end, loss, return loss; docs/arrays.md has the headings.

#include <vector>

#include "domain/applications/connector_grade.hpp"
#include "edge/exchange/array_tables.hpp"

namespace strandbook {

Result<ReadRows<Mating>> read_matings(const std::vector<Grid>& sheets);

}  // namespace strandbook
