#pragma once
// Tables of sampling plans from rules/mil-std-105e.

#include <string>
#include <string_view>

#include "domain/problem/problem.hpp"
#include "domain/review/sampling_scheme.hpp"

namespace strandbook {

/// A Problem names file and line (as row): a letter that the table does not have, lots or sizes out of order,
/// a column with too few cells, the same quality twice.
Result<SamplingScheme> read_sampling_scheme(const std::string& path);
Result<SamplingScheme> read_sampling_scheme_text(std::string_view text, const std::string& name);

}  // namespace strandbook
