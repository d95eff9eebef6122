#pragma once
// What splitters lose, from rules/practice/splitters.json or a file of the job's own in its form.

#include <string>
#include <string_view>

#include "domain/applications/passive_tree.hpp"

namespace strandbook {

Result<SplitterPractice> read_splitters(const std::string& path);
Result<SplitterPractice> read_splitters_text(std::string_view text, const std::string& name);

}  // namespace strandbook
