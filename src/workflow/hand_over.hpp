#pragma once
// The report of a judged job as files in a folder.

#include <functional>
#include <string>
#include <vector>

#include "edge/report/report.hpp"
#include "workflow/judge_job.hpp"

namespace strandbook {

/// Writes report.pdf, tests.xlsx, tests.csv and assessment.json into the folder, or `only` one of "pdf",
/// "xlsx", "csv", "json". Each file is there whole or not at all. Returns what was written. `progress` is
/// asked once for each file's path.
Result<std::vector<std::string>> hand_over(const JudgedWork& work, ReportOptions options,
                                           const std::string& folder, const std::string& only,
                                           const std::function<Progress(const std::string&)>& progress = {});

}  // namespace strandbook
