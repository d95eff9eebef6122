#pragma once
// Component statistics and times of tests from rules/practice/prediction.json, or a file of that form.

#include <string>
#include <string_view>

#include "domain/prediction/components.hpp"
#include "domain/problem/problem.hpp"

namespace strandbook {

/// The document that numbers of no document are said to stand in.
inline constexpr const char* usual_losses = "usual losses";

/// A Problem names file and line (as row). Grades and attenuation come from other files and stay as given in
/// `known`; a grade that `known` does not have is a Problem, and so is a mean above the 97 % value.
Result<ComponentStatistics> read_prediction_file(const std::string& path, ComponentStatistics known);
Result<ComponentStatistics> read_prediction_text(std::string_view text, const std::string& name,
                                                 ComponentStatistics known);

}  // namespace strandbook
