#pragma once
// Recorded results from wherever they are kept: the one place that knows the kinds of source.

#include <string>

#include "domain/problem/problem.hpp"
#include "domain/review/recorded_job.hpp"

namespace strandbook {

/// `path`: a book (a file, or the address of a database), judged as it is settled in it; or the JSON that
/// `assess --json` wrote.
Result<RecordedJob> recorded_job(const std::string& path);

}  // namespace strandbook
