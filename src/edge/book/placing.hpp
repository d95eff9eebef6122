#pragma once
// Putting a finished file under its name, without ever replacing one that is there.

#include <string>

#include "domain/problem/problem.hpp"

namespace strandbook {

enum class Placed { fresh, name_taken };

/// Moves `temporary` to `path` unless something has that name; then `temporary` is removed.
Result<Placed> place_file(const std::string& temporary, const std::string& path);

/// Where something failed in the file system: its own words and what to do about it.
Problem file_problem(const std::string& path, int error, const std::string& wanted);

}  // namespace strandbook
