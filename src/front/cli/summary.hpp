#pragma once
// The readable summary of a judged job on a terminal.

#include "domain/diagnosis/finding.hpp"

namespace strandbook {

void print_summary(const JudgedJob& job);

}  // namespace strandbook
