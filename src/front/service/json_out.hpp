#pragma once
// Domain values as the JSON of the service (docs/openapi.json).

#include <algorithm>
#include <memory>
#include <string>
#include <vector>

#include "edge/exchange/test_json.hpp"
#include "front/service/http.hpp"
#include "workflow/live_job.hpp"

namespace strandbook {

Response json_response(std::string body, int status = 200);
Response no_content();
/// {"error": {...}}
Response problem_response(const Problem& problem, int status);
/// The problem of a result; 409 and the like are for the caller to choose.
std::string error_json(const Problem& problem);
std::string problem_json(const Problem& problem);
std::string place_json(const Place& place);
/// A row that could not be used.
std::string left_row_json(const Problem& row);
std::string revision_json(std::uint64_t revision);
std::string text_json(std::string_view text);
/// Milliseconds UTC since 1970 as ISO 8601.
std::string time_text(std::int64_t ms);

/// Name of the enumerator: "no_reading".
std::string_view code_of(Reason reason);
/// A test with its reason's code and its facts; `findings` is a JSON list.
std::string test_json(const JobView& view, const JudgedTest& test, std::string_view findings);
/// A schedule row.
std::string strand_json(const JobView& view, std::uint32_t strand);
/// A rule set in a list of them.
std::string rule_line_json(const RuleSet& rule);
/// At most so many, from the beginning.
template <class T>
std::vector<T> first_of(const std::vector<T>& list, std::size_t most) {
  return {list.begin(), list.begin() + static_cast<std::ptrdiff_t>(std::min(most, list.size()))};
}
/// The summary of a job; all zero while it cannot be judged.
Summary summary_of(const JobView& view);

}  // namespace strandbook
