#pragma once
// Tables of network applications in files: what rules/application-file.schema.json describes, checked for
// sense as well as for form.

#include <string>
#include <string_view>

#include "domain/applications/application.hpp"
#include "domain/problem/problem.hpp"

namespace strandbook {

/// The rows of one file. A Problem names file and line (as row): an unknown key, a wrong unit, a value out of
/// range, a missing standing, bounds that cross, wavelengths that do not fit the lanes, a row printed twice.
Result<ApplicationTable> read_application_text(std::string_view text, const std::string& name);

/// Every *.json of `folder`, in order of file names and then of rows. No row in two files.
Result<ApplicationTable> read_applications(const std::string& folder);

}  // namespace strandbook
