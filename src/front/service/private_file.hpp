#pragma once
// A file that only its owner may read, from its first byte on.

#include <string>
#include <string_view>

#include "domain/problem/problem.hpp"

namespace strandbook {

/// Written beside its name, then renamed: there whole or not at all.
Result<Done> write_private_file(const std::string& path, std::string_view text);

}  // namespace strandbook
