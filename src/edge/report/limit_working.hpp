#pragma once
// The working of a limit: its terms, their counts and the source of every number.

#include "edge/report/sections.hpp"

namespace strandbook {

/// `indent`: points from the page's left edge.
void write_limit_working(const ReportPass& pass, const Limit& limit, double indent);

}  // namespace strandbook
