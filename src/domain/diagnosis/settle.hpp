#pragma once
// From suspicions to findings: which of them stand after everything that was looked at, and in which order.

#include <span>
#include <vector>

#include "domain/diagnosis/examine_block.hpp"

namespace strandbook {

/// Facts stand as they are. Of each family of statistical tests those stand whose adjusted probability
/// (Benjamini and Hochberg, over all tests of the family in the job) is not above the practice's false-alarm
/// rate.
std::vector<Finding> settled_findings(std::span<const Suspects* const> every,
                                      const DiagnosisPractice& practice);

// What two blocks counted, put together.
void add_uses(std::vector<InstrumentUse>& all, const std::vector<InstrumentUse>& more);
void add_files(std::vector<FileLosses>& all, const std::vector<FileLosses>& more);

}  // namespace strandbook
