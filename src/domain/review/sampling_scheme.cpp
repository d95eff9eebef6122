#include "domain/review/sampling_scheme.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace strandbook {
namespace {

std::string qualities_of(const SamplingScheme& scheme, InspectionSeverity severity) {
  std::string offered;
  for (const PlanColumn& column : scheme.columns)
    if (column.severity == severity)
      offered += fmt::format("{}{:g}", offered.empty() ? "" : ", ", column.aql_percent);
  return offered;
}

}  // namespace

std::string_view text_of(InspectionLevel level) {
  switch (level) {
    case InspectionLevel::one:
      return "I";
    case InspectionLevel::two:
      return "II";
    case InspectionLevel::three:
      return "III";
  }
  return {};
}

std::string_view text_of(InspectionSeverity severity) {
  return severity == InspectionSeverity::normal ? "normal" : "tightened";
}

Result<SchemePlan> plan_from(const SamplingScheme& scheme, const SchemeQuestion& question) {
  const auto column = std::find_if(scheme.columns.begin(), scheme.columns.end(), [&](const PlanColumn& each) {
    return each.severity == question.severity && std::abs(each.aql_percent - question.aql_percent) < 1e-9;
  });
  if (column == scheme.columns.end())
    return Problem{{"--aql", {}, 0, {}},
                   fmt::format("{:g} %", question.aql_percent),
                   "one of " + qualities_of(scheme, question.severity),
                   ""};
  const auto row = std::find_if(scheme.lots.begin(), scheme.lots.end(),
                                [&](const CodeLetterRow& each) { return question.lot <= each.lot_most; });
  if (row == scheme.lots.end() || question.lot < 2)
    return Problem{
        {}, fmt::format("a lot of {}", question.lot), "a lot of at least 2 that the table has", ""};
  const std::string& letter = row->letters[static_cast<std::size_t>(question.level)];
  auto at = static_cast<std::ptrdiff_t>(std::find(scheme.letters.begin(), scheme.letters.end(), letter) -
                                        scheme.letters.begin());
  const auto end = static_cast<std::ptrdiff_t>(std::min(scheme.sizes.size(), column->cells.size()));
  while (at >= 0 && at < end) {
    const PlanCell& cell = column->cells[static_cast<std::size_t>(at)];
    if (cell.kind == PlanCell::Kind::number)
      return SchemePlan{letter,
                        scheme.letters[static_cast<std::size_t>(at)],
                        {scheme.sizes[static_cast<std::size_t>(at)], cell.accept},
                        column->source};
    at += cell.kind == PlanCell::Kind::use_next_below ? 1 : -1;
  }
  return Problem{{},
                 fmt::format("letter {} at {:g} %", letter, question.aql_percent),
                 "a plan that the arrows of the table lead to",
                 "Choose another quality."};
}

}  // namespace strandbook
