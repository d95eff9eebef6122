#pragma once
// Findings that a judged job shows by itself.

#include "domain/diagnosis/engine.hpp"

namespace strandbook {

/// Looks through an assessment once. Ids "F1", "F2", ... follow the order of weight, then of tests at stake.
std::vector<Finding> find_causes(const Assessment& assessment, const FindingSettings& settings);

}  // namespace strandbook
