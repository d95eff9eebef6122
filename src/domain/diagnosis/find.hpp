#pragma once
// Findings that a judged job shows by itself.

#include "domain/diagnosis/finding.hpp"
#include "domain/readings/reference_finder.hpp"

namespace strandbook {

/// Looks through an assessment for causes that concern more than one number: references, signs, settings,
/// names, repeats. Ordered by the number of tests at stake; ids "F1", "F2", ... follow that order.
std::vector<Finding> find_causes(const Assessment& assessment, const ReferencePractice& practice);

}  // namespace strandbook
