#pragma once
// Which measured wavelength may stand for which wavelength of an application, from its data file.

#include <string>
#include <string_view>

#include "domain/applications/test_window.hpp"
#include "domain/problem/problem.hpp"

namespace strandbook {

/// A file in the form of rules/practice/test-windows.json; a Problem names file and line.
Result<TestWindows> read_test_windows(const std::string& path);
Result<TestWindows> read_test_windows_text(std::string_view text, const std::string& name);

}  // namespace strandbook
