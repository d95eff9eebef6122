#pragma once
// XLSX package -> SheetBuilder (ECMA-376 part 1, 18: SpreadsheetML).

#include <string>

#include "domain/problem/problem.hpp"
#include "edge/exchange/sheet_builder.hpp"
#include "edge/exchange/zip_package.hpp"

namespace strandbook {

/// Every worksheet in the order of its tab, hidden ones too; chart sheets have no cells and are left out.
Result<Done> read_xlsx(ZipPackage& package, const std::string& file, SheetBuilder& builder);

}  // namespace strandbook
