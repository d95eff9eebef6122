#pragma once
// The first thing a reviewer opens: what is in the package and how to check it with plain commands.

#include <string>
#include <vector>

#include "edge/report/report.hpp"
#include "workflow/check_handover.hpp"

namespace strandbook {

std::string package_readme(const HandoverGround& ground, const std::vector<PreflightItem>& items,
                           const ReportOptions& report, const std::string& signer,
                           const std::string& fingerprint);

}  // namespace strandbook
