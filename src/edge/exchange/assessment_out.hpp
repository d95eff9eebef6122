#pragma once
// A judged job as JSON (docs/assessment.schema.json) and as delimited text, one line per test.

#include <string>

#include "domain/diagnosis/finding.hpp"
#include "domain/problem/problem.hpp"
#include "domain/problem/progress.hpp"

namespace strandbook {

/// Numbers carry at most six decimals; the same job gives the same bytes.
Result<Done> write_assessment_json(const JudgedJob& job, const std::string& path,
                                   const Progress& progress = {});
Result<Done> write_assessment_csv(const JudgedJob& job, const std::string& path,
                                  const Progress& progress = {});

/// One limit with its working, as `limit --json` prints it; `working` is that of the assessment.
std::string limit_json(const RuleSet& rule, const LimitQuestion& question, const Limit& limit);

}  // namespace strandbook
