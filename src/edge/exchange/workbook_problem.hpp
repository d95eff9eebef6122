#pragma once
// Why a workbook cannot be read, in words for the person.

#include <string>

#include "domain/problem/problem.hpp"

namespace strandbook {

/// The workbook in `file` cannot be read as it is; `what` is said in brackets.
Problem damaged_workbook(const std::string& file, const std::string& what);
Problem encrypted_workbook(const std::string& file);
Problem oversized_workbook(const std::string& file, const std::string& what);

}  // namespace strandbook
