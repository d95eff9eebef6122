#pragma once
// Tables of sampling plans by lot size and acceptable quality, as MIL-STD-105E has them.

#include <string>
#include <vector>

#include "domain/problem/problem.hpp"
#include "domain/rulebook/sourced.hpp"
#include "domain/statistics/acceptance_sampling.hpp"

namespace strandbook {

enum class InspectionLevel { one, two, three };       // "I", "II", "III"
enum class InspectionSeverity { normal, tightened };  // "normal", "tightened"
std::string_view text_of(InspectionLevel level);
std::string_view text_of(InspectionSeverity severity);

/// The letter of a lot size at a level: lots up to `lot_most`, and more than the row before it.
struct CodeLetterRow {
  std::uint32_t lot_most = 0;
  std::vector<std::string> letters;  ///< by InspectionLevel
};

/// A cell of a plan table: an acceptance number, or an arrow to the next plan that has one.
struct PlanCell {
  enum class Kind {
    number,
    use_next_above,
    use_next_below
  };  ///< above: a smaller sample; below: a larger one
  Kind kind = Kind::number;
  std::uint32_t accept = 0;
};

struct PlanColumn {
  InspectionSeverity severity = InspectionSeverity::normal;
  double aql_percent = 0;
  std::vector<PlanCell> cells;  ///< by letter
  RuleRef source;
};

struct SamplingScheme {
  std::vector<CodeLetterRow> lots;
  std::vector<std::string> letters;
  std::vector<std::uint32_t> sizes;  ///< sample sizes, by letter
  std::vector<PlanColumn> columns;
  RuleRef source;
};

struct SchemeQuestion {
  std::uint32_t lot = 0;  ///< units, 2 or more
  InspectionLevel level = InspectionLevel::two;
  InspectionSeverity severity = InspectionSeverity::normal;
  double aql_percent = 0;
};

struct SchemePlan {
  std::string letter;       ///< of the lot size
  std::string plan_letter;  ///< after the arrows
  SamplingPlan plan;
  RuleRef source;
};

/// The single-sampling plan. A Problem where the table has no such quality, or its arrows lead nowhere.
Result<SchemePlan> plan_from(const SamplingScheme& scheme, const SchemeQuestion& question);

}  // namespace strandbook
