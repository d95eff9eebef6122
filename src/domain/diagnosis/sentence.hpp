#pragma once
// Words that findings share.

#include <string>

#include "domain/diagnosis/block.hpp"
#include "domain/diagnosis/finding.hpp"

namespace strandbook {

inline constexpr const char* live_port_caution =
    "Light may be on and is invisible: treat every port as live until it is measured dark, and never look "
    "into it.";

/// "1 strand", "3 strands"
std::string counted_words(std::size_t count, const char* one, const char* many);
/// "BB-01/07, BB-01/08 and 3 more"
std::string strands_named(const Assessment& all, const std::vector<std::uint32_t>& strands);
/// "AB", "BA", or "either direction"
std::string direction_words(std::optional<Direction> direction);
/// The reference a test rests on, or its file: "reference R1 at 1310 nm of 2026-04-05T08:00:00".
std::string session_words(const Assessment& all, const JudgedTest& test);
std::string reference_words(const Reference& reference);
/// Tests of some strands that were measured, ascending.
std::vector<std::uint32_t> measured_tests(const LinkTable& table, const std::vector<std::size_t>& rows);

}  // namespace strandbook
