#pragma once
// What a job looks like while nothing is wrong, and the decision table of causes, from their data file.

#include <string>

#include "domain/diagnosis/practice.hpp"
#include "domain/problem/problem.hpp"

namespace strandbook {

/// rules/practice/diagnosis.json. Told as wrong: a missing number, shares of a kind's causes that do not sum
/// to 1.
Result<DiagnosisPractice> read_diagnosis_file(const std::string& path);

}  // namespace strandbook
