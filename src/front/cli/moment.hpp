#pragma once
// The moment that a file is made at: told, or the machine's.

#include <string>

#include "domain/link/instant.hpp"
#include "domain/problem/problem.hpp"

namespace strandbook {

/// Seconds since 1970 UTC as `option` gave them, else SOURCE_DATE_EPOCH for bytes that repeat, else now.
Result<Instant> moment_given(const std::string& option, const std::string& told);

}  // namespace strandbook
