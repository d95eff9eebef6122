#pragma once
// What the commands on arrays, cords and end faces print alike.

#include <string>
#include <vector>

#include "edge/exchange/array_json.hpp"

namespace strandbook {

/// Rows not used, and how the files were understood.
void print_leftovers(const Leftovers& left);
void print_cautions(const std::vector<std::string>& cautions);
void print_reasons(const std::vector<std::string>& reasons);
void print_source(const std::string& what, const RuleRef& source);
/// "worst 0.41 dB at near 7, spread 0.20 dB, slope +0.011 dB per position" of each series.
std::vector<std::string> words_on_losses(const LossJudgement& loss);

}  // namespace strandbook
