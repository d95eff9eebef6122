#pragma once
// Recorded results read back: the JSON that `assess --json` writes (docs/assessment.schema.json).

#include <string>
#include <string_view>

#include "domain/problem/problem.hpp"
#include "domain/review/recorded_job.hpp"

namespace strandbook {

/// Does the text begin like such a file: a JSON object?
bool looks_like_recorded(std::string_view text);

/// A Problem where it is no assessment of a format known here, or a test misses a member or has another kind
/// of value there. Members that are not needed are passed over.
Result<RecordedJob> read_recorded_text(std::string_view text, const std::string& name);

}  // namespace strandbook
