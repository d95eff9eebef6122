#pragma once
// Every test of a link within a box of its certificate.

#include "edge/report/sections.hpp"

namespace strandbook {

/// A line per test with a small budget bar, in two columns where one is too short. What does not fit is
/// counted.
void certificate_tests(const ReportPass& pass, const LinkView& link, const Box& box);

}  // namespace strandbook
