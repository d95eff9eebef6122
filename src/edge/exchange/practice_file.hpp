#pragma once
// Numbers of acceptance practice and typical uncertainties, from their data files.

#include <string>

#include "domain/diagnosis/practice.hpp"
#include "domain/problem/problem.hpp"
#include "domain/readings/reference_finder.hpp"
#include "domain/readings/uncertainty.hpp"

namespace strandbook {

struct Practice {
  Decibels gain_allowance;  ///< a loss below minus this is impossible for a passive link
  ReferencePractice references;
  UncertaintyModel uncertainty;
  DiagnosisPractice diagnosis;
};

/// `folder`/acceptance.json, uncertainty.json and diagnosis.json.
Result<Practice> read_practice(const std::string& folder);
/// An uncertainty file of the job's own, in the form of rules/practice/uncertainty.json.
Result<UncertaintyModel> read_uncertainty_file(const std::string& path);
Result<UncertaintyModel> read_uncertainty_text(std::string_view text, const std::string& name);

}  // namespace strandbook
