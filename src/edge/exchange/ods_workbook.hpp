#pragma once
// ODS package -> SheetBuilder (ODF 1.3 part 3, 9: tables).

#include <string>

#include "domain/problem/problem.hpp"
#include "edge/exchange/sheet_builder.hpp"
#include "edge/exchange/zip_package.hpp"

namespace strandbook {

/// Every sheet in the order of its tab. Comments, drawings and recorded changes are left out.
Result<Done> read_ods(ZipPackage& package, const std::string& file, SheetBuilder& builder);

}  // namespace strandbook
