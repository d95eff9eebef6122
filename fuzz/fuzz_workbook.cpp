// Bytes as a workbook, and, since few changed archives stay whole, bytes as the one part that matters of a
// good one.

#include <cstdint>
#include <cstdlib>
#include <string>

#include "edge/exchange/package_for_test.hpp"
#include "edge/exchange/workbook.hpp"

namespace {

void check(const std::string& bytes) {
  const auto grids = strandbook::read_workbook(bytes, "fuzz.xlsx");
  if (!grids) {
    if (grids.problem().advice.empty()) std::abort();
    return;
  }
  for (const strandbook::Grid& grid : *grids) {
    const std::string& buffer = *grid.buffer();
    for (std::size_t row = 0; row < grid.rows(); ++row)
      for (std::size_t column = 0; column < grid.width(row); ++column) {
        const std::string_view cell = grid.cell(row, column);
        if (cell.data() + cell.size() > buffer.data() + buffer.size()) std::abort();
      }
  }
}

strandbook::PackageParts with(strandbook::PackageParts parts, const std::string& name,
                              const std::string& content) {
  for (auto& [part, old] : parts)
    if (part == name) old = content;
  return parts;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size < 1) return 0;
  const std::string bytes(reinterpret_cast<const char*>(data) + 1, size - 1);
  switch (data[0] % 6) {
    case 0:
      check(bytes);
      break;
    case 1:
      check(strandbook::zip_of(strandbook::xlsx_parts(bytes)));
      break;
    case 2:
      check(strandbook::zip_of(with(strandbook::xlsx_parts("<sheetData/>"), "xl/styles.xml", bytes)));
      break;
    case 3:
      check(strandbook::zip_of(with(strandbook::xlsx_parts("<sheetData/>"), "xl/sharedStrings.xml", bytes)));
      break;
    case 4:
      check(strandbook::zip_of(strandbook::ods_parts(bytes)));
      break;
    default:
      check(strandbook::zip_of(with(strandbook::ods_parts({}), "content.xml", bytes)));
      break;
  }
  return 0;
}
