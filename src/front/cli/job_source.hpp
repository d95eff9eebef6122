#pragma once
// The judged job that a command line names: loose files or a book.

#include "front/cli/options.hpp"

namespace strandbook {

Result<JudgedWork> judged_work(const JobOptions& options);

}  // namespace strandbook
