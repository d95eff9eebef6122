#pragma once
// What the readers of both kinds of workbook share.

#include <cstddef>
#include <string>
#include <string_view>

#include "domain/problem/problem.hpp"
#include "edge/exchange/xml_events.hpp"
#include "edge/exchange/zip_package.hpp"

namespace strandbook {

/// Tells the package's part to the listener; a missing or broken part is a Problem of the file.
Result<Done> tell_part(ZipPackage& package, const std::string& file, const std::string& part,
                       XmlListener& listener);

/// A whole number, or nothing of that kind: npos.
std::size_t parse_index(std::string_view digits);

}  // namespace strandbook
