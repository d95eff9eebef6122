#pragma once
// Grades of connectors from rules/connector-grades.

#include <string>
#include <string_view>

#include "domain/applications/connector_grade.hpp"
#include "domain/problem/problem.hpp"

namespace strandbook {

/// A Problem names file and line (as row): a grade twice, a mean above the value that nearly all keep, a
/// value out of range, an unknown key, a missing standing, and the like.
Result<ConnectorGrades> read_connector_grades(const std::string& path);
Result<ConnectorGrades> read_connector_grades_text(std::string_view text, const std::string& name);

}  // namespace strandbook
